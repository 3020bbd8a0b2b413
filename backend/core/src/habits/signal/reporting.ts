import { firstFinite, isRising, quantileSorted, quantilesInPlace } from '../../numerics/index.js';
import type { ReportingHabit } from '../../telemetry/registry.js';
import { resolutionOf } from './resolution.js';

/** How one signal is sent, as far as its values tell. */
export interface Reporting {
  /** Null: too few values, or nothing that tells the two apart. */
  reporting: ReportingHabit | null;
  /** Least change that is sent, where values are sent on change; else 0. */
  deadband: number;
  /** Step of the values; 0 where none is seen. */
  resolution: number;
  /** Rows lack the signal at times of its own, which nothing but sending on change makes. */
  leftOut: boolean;
  /** Least change seen but for one in a hundred; 0 where there was none. */
  leastChange: number;
  /** Fraction of the rows that lack the signal. */
  lacking: number;
  /** Median time between two values, s; null under two. */
  interval_s: number | null;
  /** Time between two values that is hardly ever passed (1 in 200), s. */
  longestGap_s: number | null;
}

const fewestChanges = 20;
/**
 * Of the changes of a sampled signal with normal noise, the 5th percentile is 0.09 of the median (quantiles of |N(0,1)|:
 * 0.063 and 0.674). A deadband cuts the small ones off.
 */
const cutRatio = 0.25;

/**
 * Whether a signal is sampled or sent on change.
 *
 * Sent on change, a signal never moves by less than its deadband, and is quiet in between: rows lack it, at times of its
 * own, or repeat the last value. Sampled, it moves by less as often as noise has it, or by one step where its steps are
 * coarse. A deadband of one step cannot be told from a coarse step, and means the same.
 *
 * @param values NaN where a row lacks the signal
 */
export function reportingOf(time_s: ArrayLike<number>, values: ArrayLike<number>): Reporting {
  const { gaps, moves } = differencesOf(time_s, values);
  const sortedGaps = isRising(gaps) ? gaps : gaps.slice().sort();
  const gapAt = (fraction: number) => (gaps.length > 0 ? quantileSorted(sortedGaps, fraction) : null);
  const lacking = 1 - (gaps.length + 1) / Math.max(1, values.length);
  const result: Reporting = {
    reporting: null,
    leftOut: false,
    leastChange: 0,
    lacking,
    deadband: 0,
    resolution: resolutionOf(values),
    interval_s: gapAt(0.5),
    longestGap_s: gapAt(0.995),
  };
  // A heartbeat repeats a value after the longest time; what is sent sooner was sent for its change.
  const heartbeat_s = lacking > 0.2 ? 0.8 * (gapAt(0.98) ?? Infinity) : Infinity;
  let prompt = 0;
  let count = 0;
  for (let k = 0; k < moves.length; k++) {
    if (!(gaps[k] < heartbeat_s)) continue;
    prompt++;
    if (moves[k] > 0) moves[count++] = moves[k];
  }
  const changes = moves.subarray(0, count);
  const moved = changes.length / prompt;
  if (changes.length > 0) [result.leastChange] = quantilesInPlace(changes, [0.01]);
  if (changes.length < fewestChanges) {
    const rare = lacking > 0.8 && changes.length >= 3 && moved === 1;
    return rare ? { ...result, reporting: 'on-change' } : result;
  }
  const irregular = gapAt(0.9)! >= 2.5 * gapAt(0.1)!;
  const mayBeLeftOut = lacking > 0.2 && irregular && moved > 0.8;
  const mayBeFilled = lacking < 0.2 && moved < 0.7 && changes.length >= 2 * fewestChanges;
  // Most columns move in every row: the other quantiles of their changes are not worth looking for.
  if (!mayBeLeftOut && !mayBeFilled) return { ...result, reporting: 'sampled' };
  const [middle, small] = quantilesInPlace(changes, [0.5, 0.05]);
  const cut = result.resolution > 0 ? small >= 1.9 * result.resolution : small >= cutRatio * middle;
  // Quiet rows: left out at times of the signal's own, or filled with what was sent last.
  const leftOut = mayBeLeftOut && (cut || small >= cutRatio * middle);
  if (leftOut || (mayBeFilled && cut)) return { ...result, leftOut, reporting: 'on-change', deadband: small };
  return { ...result, reporting: 'sampled' };
}

/** Kept between calls: two new arrays for each of two dozen columns are much of what a window's habits cost. */
let room = { gaps: new Float64Array(0), moves: new Float64Array(0) };

/**
 * Times and sizes of the changes from each finite value to the next; the next call overwrites them. Half of a circuit's
 * columns are not sent at all.
 */
function differencesOf(
  time_s: ArrayLike<number>,
  values: ArrayLike<number>,
): { gaps: Float64Array; moves: Float64Array } {
  const first = firstFinite(values);
  if (room.gaps.length < values.length)
    room = { gaps: new Float64Array(values.length), moves: new Float64Array(values.length) };
  const { gaps, moves } = room;
  let count = 0;
  let last = first;
  for (let i = first + 1; i < values.length; i++) {
    if (!Number.isFinite(values[i])) continue;
    gaps[count] = time_s[i] - time_s[last];
    moves[count++] = Math.abs(values[i] - values[last]);
    last = i;
  }
  return { gaps: gaps.subarray(0, count), moves: moves.subarray(0, count) };
}
