import { finiteOf, quantilesInPlace, scaledMad, select } from '../../numerics/index.js';
import type { Steadiness } from './window-judgement.js';

/** Superheat this far over the setpoint, or over this much where no setpoint is known, is called starved; common practice, no source. */
export const starvedOverSetpoint_K = 6;
export const starvedWithoutSetpoint_K = 15;

/** Dips under the limit that a shorter time parts are one: a thermometer's own lag joins them. Judgement, no source. */
const parted_s = 60;

/** Counts stretches under a limit as samples come in their order. */
function excursionCounter() {
  let count = 0;
  let over_s = Infinity;
  return {
    take(under: boolean, length_s: number) {
      if (!under) over_s += length_s;
      else {
        if (over_s >= parted_s) count++;
        over_s = 0;
      }
    },
    count: () => count,
  };
}

/**
 * How superheat was held, over the samples given (steady running only) with the time that each stands for.
 * Fractions are of time. A value is surely under the floodback limit when it is so with two standard uncertainties added,
 * possibly when it is so with two taken off. Null without a finite value.
 */
export function steadinessOf(
  superheat_K: Float64Array,
  weight_s: Float64Array,
  setpoint_K: number | null,
  uncertainty_K: number,
  floodbackLimit_K: number,
): Steadiness | null {
  const values = finiteOf(superheat_K);
  const samples = values.length;
  if (samples === 0) return null;
  const starvedLimit_K = setpoint_K === null ? starvedWithoutSetpoint_K : setpoint_K + starvedOverSetpoint_K;
  let time = 0;
  let sum = 0;
  let squares = 0;
  let under = 0;
  let surely = 0;
  let possibly = 0;
  let starved = 0;
  const shift = select(values, samples >> 1);
  const excursions = { under: excursionCounter(), surely: excursionCounter() };
  for (let i = 0; i < superheat_K.length; i++) {
    const value = superheat_K[i];
    if (!Number.isFinite(value)) continue;
    const w = weight_s[i];
    time += w;
    sum += w * (value - shift);
    squares += w * (value - shift) ** 2;
    if (value < floodbackLimit_K) under += w;
    if (value + 2 * uncertainty_K < floodbackLimit_K) surely += w;
    if (value - 2 * uncertainty_K < floodbackLimit_K) possibly += w;
    if (value > starvedLimit_K) starved += w;
    excursions.under.take(value < floodbackLimit_K, w);
    excursions.surely.take(value + 2 * uncertainty_K < floodbackLimit_K, w);
  }
  if (!(time > 0)) return null;
  const mean_K = shift + sum / time;
  const [minimum_K, low_K, lower_K, median_K, high_K] = quantilesInPlace(values, [0, 0.01, 0.05, 0.5, 0.95]);
  return {
    minutes: time / 60,
    samples,
    mean_K,
    median_K,
    spread_K: Math.sqrt(Math.max(0, squares / time - (sum / time) ** 2)),
    robustSpread_K: scaledMad(values),
    minimum_K,
    percentile1_K: low_K,
    percentile5_K: lower_K,
    percentile95_K: high_K,
    uncertainty_K,
    floodbackLimit_K,
    underLimitFraction: under / time,
    surelyUnderLimitFraction: surely / time,
    possiblyUnderLimitFraction: possibly / time,
    underLimitExcursions: excursions.under.count(),
    surelyUnderLimitExcursions: excursions.surely.count(),
    starvedLimit_K,
    starvedFraction: starved / time,
    setpoint_K,
    offset_K: setpoint_K === null ? null : mean_K - setpoint_K,
  };
}
