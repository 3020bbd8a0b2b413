import { slowDeparture } from '../../../normal/departures/slow-departure.js';
import type { NormalQuantity } from '../../../normal/quantities/quantities.js';

/** As much of a plateau's comparison as tells whether a departure lasts. */
export interface DepartingPlateau {
  from_s: number;
  overLimit: boolean;
  departures: Partial<Record<NormalQuantity, { z: number }>>;
}

/** A departure that is still there, with the plateaus that show it. */
export interface LastingDeparture<Plateau extends DepartingPlateau> {
  over: Plateau[];
  /** Small day by day and seen in their sum only. */
  slow: boolean;
}

/** Of this many newest plateaus at least so many are over the limit. */
const newest = 6;
const leastOver = 3;
/** Causes are weighed on what is there now: a month of plateaus says no more than the newest fifty. */
const most = 50;
const day_s = 86_400;

/**
 * A departure that lasts: three of the six newest plateaus over the limit, or half of those of the newest day, with all before that join on; or else one
 * that has grown over days, by the cumulative sum of each quantity's daily means (a false alarm in some 9,500 days and
 * quantities). Null where there is none.
 */
export function lastingDeparture<Plateau extends DepartingPlateau>(
  judged: readonly Plateau[],
): LastingDeparture<Plateau> | null {
  const over = stillOver(judged);
  if (over.length > 0) return { over, slow: false };
  const slow = slowly(judged);
  return slow.length > 0 ? { over: slow, slow: true } : null;
}

function stillOver<Plateau extends DepartingPlateau>(judged: readonly Plateau[]): Plateau[] {
  const last = judged.slice(-newest);
  if (last.filter(({ overLimit }) => overLimit).length < Math.min(leastOver, Math.max(1, judged.length)))
    return overByDay(judged);
  const over: Plateau[] = [];
  let missed = 0;
  for (const one of [...judged].reverse()) {
    if (one.overLimit) {
      over.unshift(one);
      missed = 0;
    } else if (++missed > newest - leastOver) break;
  }
  return over.slice(-most);
}

/**
 * A fault that shows at high load alone is not there in the newest plateaus of a night: it lasts as long as half of the plateaus of
 * the newest day are over the limit, with all before that no whole day without one parts from them.
 */
function overByDay<Plateau extends DepartingPlateau>(judged: readonly Plateau[]): Plateau[] {
  const newest_s = judged.at(-1)?.from_s ?? NaN;
  const ofDay = judged.filter(({ from_s }) => from_s > newest_s - day_s);
  const over = judged.filter(({ overLimit }) => overLimit);
  if (ofDay.length < newest || 2 * ofDay.filter(({ overLimit }) => overLimit).length < ofDay.length)
    return [];
  const apart = over.findLastIndex((one, k) => k > 0 && one.from_s - over[k - 1].from_s > day_s);
  return over.slice(Math.max(0, apart)).slice(-most);
}

/** The newest plateaus since the earliest quantity began to depart, where it still does on the last day. */
function slowly<Plateau extends DepartingPlateau>(judged: readonly Plateau[]): Plateau[] {
  const days = [...new Set(judged.map(({ from_s }) => Math.floor(from_s / day_s)))];
  if (days.length < 3) return [];
  const ofDay = days.map((day) => judged.filter(({ from_s }) => Math.floor(from_s / day_s) === day));
  const quantities = new Set(judged.flatMap(({ departures }) => Object.keys(departures) as NormalQuantity[]));
  let began = Infinity;
  for (const quantity of quantities) {
    const z = ofDay.map((plateaus) =>
      meanOf(plateaus.flatMap(({ departures }) => departures[quantity]?.z ?? [])),
    );
    const found = slowDeparture(z);
    if (found === null) continue;
    const last = z.filter(Number.isFinite).at(-1) ?? 0;
    if ((found.direction === 'up' ? last : -last) > 0.5) began = Math.min(began, days[found.began]);
  }
  return judged.filter(({ from_s }) => Math.floor(from_s / day_s) >= began).slice(-most);
}

const meanOf = (values: readonly number[]): number =>
  values.reduce((sum, value) => sum + value, 0) / values.length;
