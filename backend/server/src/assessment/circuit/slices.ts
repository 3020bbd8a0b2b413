import { circuitSeriesColumns, window_s, type CircuitSeries } from '@coldrounds/core';

/** Index of the first time at or after `time_s`; times rise. */
export function firstAt(times: Float64Array, time_s: number): number {
  let low = 0;
  let high = times.length;
  while (low < high) {
    const middle = (low + high) >> 1;
    if (times[middle] < time_s) low = middle + 1;
    else high = middle;
  }
  return low;
}

/** The samples from `from_s` (in) to `to_s` (out), sharing memory with the series. */
export function sliceSeries(series: CircuitSeries, from_s: number, to_s: number): CircuitSeries {
  const from = firstAt(series.time_s, from_s);
  const to = firstAt(series.time_s, to_s);
  const slice = { time_s: series.time_s.subarray(from, to) } as CircuitSeries;
  for (const name of circuitSeriesColumns) slice[name] = series[name].subarray(from, to);
  return slice;
}

/** Window starts, put together where they follow each other closely, so that each stretch is read at once. */
export function stretches(starts_s: readonly number[], largestGap = 2): number[][] {
  const result: number[][] = [];
  for (const start of [...starts_s].sort((a, b) => a - b)) {
    const last = result.at(-1);
    if (last !== undefined && start - last[last.length - 1] <= largestGap * window_s) last.push(start);
    else result.push([start]);
  }
  return result;
}
