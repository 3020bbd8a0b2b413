import { saturationCurve } from '../../refrigerants/index.js';
import type { BinnedSeries, Channel } from './channels.js';

/** A condition of running that must hold still on a plateau, and how far it may move across one window. */
interface Condition {
  values: Float64Array;
  tolerance: number;
}

/** How far a condition may move across a window of `window_s` (common practice, no source); shares are of the value. */
const absolute: Partial<Record<Channel, number>> = {
  enteringWaterTemperature_K: 0.4,
  leavingWaterTemperature_K: 0.3,
  condenserEnteringTemperature_K: 0.4,
  condenserLeavingTemperature_K: 0.4,
  ambientTemperature_K: 1,
  dischargeTemperature_K: 1,
  liquidTemperature_K: 0.6,
  compressorLoad_pct: 4,
  condenserFanSpeed_pct: 8,
  superheatSetpoint_K: 0.3,
};
const relative: Partial<Record<Channel, number>> = {
  waterFlow_m3_s: 0.04,
  condenserFlow_m3_s: 0.04,
  compressorPower_W: 0.04,
};
const saturationTolerance_K = 0.5;
const window_s = 480;

/** What holds still on a plateau: load, water, condenser and the two saturation temperatures. */
export function conditionsOf(bins: BinnedSeries, refrigerant: string): Condition[] {
  const conditions: Condition[] = [];
  for (const [channel, tolerance] of Object.entries(absolute) as [Channel, number][]) {
    const values = bins.columns[channel];
    if (values) conditions.push({ values, tolerance });
  }
  for (const [channel, share] of Object.entries(relative) as [Channel, number][]) {
    const values = bins.columns[channel];
    if (!values) continue;
    const high = quantileOf(values, 0.9);
    // A share of the value itself, but of no less than a third of the usual, or a trickle would never be steady.
    if (high > 0)
      conditions.push({ values: values.map((v) => Math.log(Math.max(v, high / 3))), tolerance: share });
  }
  for (const [channel, side] of [
    ['suctionPressure_Pa', 'dew'],
    ['dischargePressure_Pa', 'bubble'],
  ] as const) {
    const pressures = bins.columns[channel];
    if (!pressures) continue;
    const saturation = saturationCurve(refrigerant, side).temperature;
    conditions.push({
      values: pressures.map(saturation),
      tolerance: saturationTolerance_K,
    });
  }
  return conditions;
}

/** Half a window in bins: a place is steady where the means of the two halves around it agree. */
export const halfWindow = (width_s: number): number => Math.max(2, Math.round(window_s / 2 / width_s));

/**
 * For each bin the largest movement of any condition across the window around it, in tolerances: twice the difference of
 * the means of its two halves, which for a steady ramp is what it climbs. A condition that is missing from half a window
 * is passed over there; NaN where all are.
 */
export function movement(conditions: readonly Condition[], length: number, half: number): Float64Array {
  const most = new Float64Array(length).fill(NaN);
  for (const { values, tolerance } of conditions) {
    const { sum, count } = running(values);
    const least = Math.ceil(half / 2);
    for (let i = 0; i < length; i++) {
      const [a, b, c, d] = [Math.max(0, i - half), i, i + 1, Math.min(length, i + 1 + half)];
      const left = count[b] - count[a];
      const right = count[d] - count[c];
      if (left < least || right < least) continue;
      const moved = (2 * Math.abs((sum[d] - sum[c]) / right - (sum[b] - sum[a]) / left)) / tolerance;
      if (!(moved <= most[i])) most[i] = moved;
    }
  }
  return most;
}

function running(values: Float64Array): { sum: Float64Array; count: Int32Array } {
  const sum = new Float64Array(values.length + 1);
  const count = new Int32Array(values.length + 1);
  for (let i = 0; i < values.length; i++) {
    const there = Number.isFinite(values[i]);
    sum[i + 1] = sum[i] + (there ? values[i] : 0);
    count[i + 1] = count[i] + (there ? 1 : 0);
  }
  return { sum, count };
}

export function quantileOf(values: Float64Array, share: number): number {
  const kept = values.filter((value) => Number.isFinite(value)).sort();
  return kept.length === 0 ? NaN : kept[Math.min(kept.length - 1, Math.floor(share * kept.length))];
}
