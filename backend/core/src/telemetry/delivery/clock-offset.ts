import { quantileSorted } from '../../numerics/index.js';

/** The least lateness that an hour of messages showed, s: `live` of those that came at once, `history` of all others. */
export interface LeastLateness {
  live_s: number | null;
  history_s: number | null;
}

export interface ClockOffset {
  /** By how much the sender's clock is behind, s; negative: ahead. */
  offset_s: number;
  /** Smallest and largest of the hours, s. */
  from_s: number;
  to_s: number;
  hours: number;
  /** Everything comes that late: it is taken for history although it is sent at once. */
  shifted: boolean;
}

/** Under so many hours nothing is said. The project's own choice, as the two below. */
const fewestHours = 3;
/** Hours of which the least lateness differs by less, s, come by a clock that is off, and not by a backlog. */
const steady_s = 120;

/**
 * Offset of a sender's clock from the receiver's, by the lower envelope of lateness: what a message needs on its way only
 * adds, so the message that needed least comes nearest to the offset. The median of the hourly minima is given, with
 * their range.
 *
 * A constant way of its own cannot be told from a clock that is behind: `offset_s` is at most the one and at least none
 * of the other, where it is above zero. Below zero the clock is surely ahead, by that much or more.
 *
 * Where no message came at once, hours of history tell a clock that is far off by being late all alike; of a backlog
 * each hour is late by another time.
 *
 * @returns null: too few hours, or only a backlog came
 */
export function clockOffset(hours: readonly LeastLateness[]): ClockOffset | null {
  const live = hours.flatMap(({ live_s }) => (live_s === null ? [] : [live_s]));
  if (live.length >= fewestHours) return { ...summed(live), shifted: false };
  const history = hours.flatMap(({ history_s }) => (history_s === null ? [] : [history_s]));
  if (live.length > 0 || history.length < fewestHours) return null;
  const offset = summed(history);
  return offset.to_s - offset.from_s < steady_s ? { ...offset, shifted: true } : null;
}

function summed(least_s: readonly number[]): Omit<ClockOffset, 'shifted'> {
  const sorted = Float64Array.from(least_s).sort();
  return {
    offset_s: quantileSorted(sorted, 0.5),
    from_s: sorted[0],
    to_s: sorted[sorted.length - 1],
    hours: sorted.length,
  };
}
