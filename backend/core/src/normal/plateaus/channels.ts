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

/** Width of a bin: a minute, or three samples where they come more seldom, so that one missing sample leaves no hole. */
export function binWidth_s(time_s: Float64Array): number {
  const n = time_s.length;
  if (n < 3) return 60;
  const steps: number[] = [];
  const stride = Math.max(1, Math.floor(n / 2000));
  for (let i = 1; i < n; i += stride) steps.push(time_s[i] - time_s[i - 1]);
  steps.sort((a, b) => a - b);
  const typical_s = steps[steps.length >> 1];
  return Math.max(60, Math.min(900, Math.ceil((typical_s * (typical_s > 30 ? 2 : 1)) / 60) * 60));
}

export function binned(series: CircuitSeries, width_s = binWidth_s(series.time_s)): BinnedSeries {
  const { time_s } = series;
  const n = time_s.length;
  const from_s = n === 0 ? 0 : Math.floor(time_s[0] / width_s) * width_s;
  const length = n === 0 ? 0 : Math.floor((time_s[n - 1] - from_s) / width_s) + 1;
  const place = new Int32Array(n);
  for (let i = 0; i < n; i++) place[i] = Math.floor((time_s[i] - from_s) / width_s);
  const columns: BinnedSeries['columns'] = {};
  for (const channel of channels) {
    const mean = binMeans(series[channel], place, length);
    if (mean) columns[channel] = mean;
  }
  return { width_s, from_s, length, columns };
}

function binMeans(values: Float64Array, place: Int32Array, length: number): Float64Array | null {
  const sum = new Float64Array(length);
  const count = new Int32Array(length);
  let any = false;
  for (let i = 0; i < values.length; i++) {
    const value = values[i];
    if (value !== value) continue;
    any = true;
    sum[place[i]] += value;
    count[place[i]]++;
  }
  if (!any) return null;
  for (let b = 0; b < length; b++) sum[b] = count[b] > 0 ? sum[b] / count[b] : NaN;
  return sum;
}
