import { meanBetween } from '../../numerics/index.js';
import { firstAtOrAfter } from '../../normal/plateaus/find-plateaus.js';
import { window_s } from '../../steadiness/windows/window-judgement.js';
import {
  circuitSeriesColumns,
  emptyCircuitSeries,
  type CircuitSeries,
} from '../../telemetry/circuit-series.js';

/** What is kept for charts are means of two minutes. */
export const mean_s = 120;

/** End of the newest window of two hours that anything was sent in, s; -Infinity where nothing was. */
export function endOfNewestWindow_s(sent: readonly CircuitSeries[]): number {
  const last_s = Math.max(...sent.map(({ time_s }) => time_s[time_s.length - 1] ?? -Infinity));
  return (Math.floor(last_s / window_s) + 1) * window_s;
}

/** Means over two minutes of what was sent from a time on; NaN where nothing was, and in all other columns. */
export function meansFrom(
  series: CircuitSeries,
  from_s: number,
  columns: readonly (typeof circuitSeriesColumns)[number][],
): CircuitSeries {
  const n = series.time_s.length;
  const starts: number[] = [];
  let bin = NaN;
  for (let i = firstAtOrAfter(series.time_s, from_s); i < n; i++) {
    const own = Math.floor(series.time_s[i] / mean_s);
    if (own === bin) continue;
    starts.push(i);
    bin = own;
  }
  const means = emptyCircuitSeries(starts.length);
  for (let k = 0; k < starts.length; k++)
    means.time_s[k] = Math.floor(series.time_s[starts[k]] / mean_s) * mean_s;
  for (const name of columns) {
    const values = series[name];
    for (let k = 0; k < starts.length; k++)
      means[name][k] = meanBetween(values, starts[k], starts[k + 1] ?? n);
  }
  return means;
}
