import { quantileInPlace } from '../../numerics/index.js';
import type { CircuitSeries } from '../../telemetry/circuit-series.js';
import type { SeriesHabits, SignalName } from './signal-habit.js';

/** Silence that ends a stand, s. */
const silence_s = 300;
/** So many times as long as it hardly ever stands, and at least so long, s: the line is lost. Judgement, no source. */
const least = { times: 8, time_s: 900 };

/** First and last index of each stretch in which the value is the same to the last digit. */
function stands(
  time_s: ArrayLike<number>,
  values: ArrayLike<number>,
  each: (from: number, to: number) => void,
): void {
  let from = -1;
  let last = -1;
  for (let i = 0; i < values.length; i++) {
    if (!Number.isFinite(values[i])) continue;
    if (from >= 0 && values[i] === values[from] && time_s[i] - time_s[last] <= silence_s) last = i;
    else {
      if (from >= 0) each(from, last);
      from = last = i;
    }
  }
  if (from >= 0) each(from, last);
}

/** How long a signal's value hardly ever stands (1 in 200 of its stands), s; null under 200 of them. */
export function longestUnchanged_s(time_s: ArrayLike<number>, values: ArrayLike<number>): number | null {
  const lengths = new Float64Array(values.length);
  let count = 0;
  stands(time_s, values, (from, to) => (lengths[count++] = time_s[to] - time_s[from]));
  return count < 200 ? null : quantileInPlace(lengths.subarray(0, count), 0.995);
}

/**
 * Signals without what a gateway went on sending after it lost the sensor's line: the same value to the last digit for far
 * longer than the sensor's own noise ever lets it stand. The first of these values is the sensor's; the rest become NaN.
 * Where values are sent in coarse steps, or on change, they stand for long by themselves, and nothing is taken out.
 */
export function withoutHeldLines(
  series: CircuitSeries,
  habits: SeriesHabits,
  names: readonly SignalName[],
): CircuitSeries {
  const out = { ...series };
  for (const name of names) {
    const { reporting, longestUnchanged_s: usual_s } = habits.signals[name];
    if (reporting === 'on-change' || usual_s === null) continue;
    const longest_s = Math.max(least.time_s, least.times * usual_s);
    let column: Float64Array | null = null;
    stands(series.time_s, series[name], (from, to) => {
      if (series.time_s[to] - series.time_s[from] < longest_s) return;
      column ??= series[name].slice();
      column.fill(NaN, from + 1, to + 1);
    });
    if (column) out[name] = column;
  }
  return out;
}
