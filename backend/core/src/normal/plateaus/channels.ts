import { meansOnGrid } from '../../signals/resample.js';
import type { CircuitSeries } from '../../telemetry/circuit-series.js';
import { circuitSeriesColumns } from '../../telemetry/circuit-series.js';

/** A column of a circuit's series, as a plateau holds it. */
export type Channel = (typeof circuitSeriesColumns)[number];

export const channels: readonly Channel[] = circuitSeriesColumns;

/** Means of a series over bins of equal width, with the channels that it has; NaN where a bin has no sample. */
export interface BinnedSeries {
  width_s: number;
  /** Start of the first bin. */
  from_s: number;
  length: number;
  /** Only channels of which at least one value was sent. */
  columns: Partial<Record<Channel, Float64Array>>;
}

/** Width of a bin: a minute; two samples where they come more seldom, but one of those that come minutes apart, or the steps between short plateaus would fill them. */
export function binWidth_s(time_s: Float64Array): number {
  const n = time_s.length;
  if (n < 3) return 60;
  const steps: number[] = [];
  const stride = Math.max(1, Math.floor(n / 2000));
  for (let i = 1; i < n; i += stride) steps.push(time_s[i] - time_s[i - 1]);
  steps.sort((a, b) => a - b);
  const typical_s = steps[steps.length >> 1];
  return Math.max(
    60,
    Math.min(900, Math.ceil((typical_s * (typical_s > 30 && typical_s < 90 ? 2 : 1)) / 60) * 60),
  );
}

export function binned(series: CircuitSeries, width_s = binWidth_s(series.time_s)): BinnedSeries {
  const { time_s } = series;
  const n = time_s.length;
  const from_s = n === 0 ? 0 : Math.floor(time_s[0] / width_s) * width_s;
  const length = n === 0 ? 0 : Math.floor((time_s[n - 1] - from_s) / width_s) + 1;
  const columns: BinnedSeries['columns'] = {};
  for (const channel of channels) {
    if (series[channel].every(Number.isNaN)) continue;
    columns[channel] = meansOnGrid(time_s, series[channel], from_s, width_s, length, 0);
  }
  return { width_s, from_s, length, columns };
}
