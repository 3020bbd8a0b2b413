import { mean, overBins, quantileSorted, type Binning } from '../../../numerics/index.js';
import {
  doublings,
  fitModel,
  paceChangeOf,
  posteriorModels,
  rootAxis,
  usualBelief,
  type AgeAxis,
  type AgeingBelief,
  type PaceChange,
} from '../models/index.js';
import { ageingCalendar, ageingRates, seasonsOf, weightedAge } from '../temperature-law/index.js';
import { bootstrapTrend } from './bootstrap.js';
import { measuredLevels, type TestsAtColdest } from './measured-levels.js';

export interface TrendInput extends TestsAtColdest {
  time_s: Float64Array;
  /** The first test after the last sudden change, and how well its size is known (relative, one standard error). */
  step: { index: number; uncertainty: number } | null;
  now_s: number;
  /** When the module was new; NaN: not known. */
  installed_s?: number | undefined;
  /** How its like age; the usual belief where left out. */
  belief?: AgeingBelief | undefined;
  lifeDoubling_K: number;
  /**
   * Per limit of the reserve, the capacitances at which it is reached: one for each assumption about how ESR will go on
   * rising, all equally likely.
   */
  limits_F: readonly (readonly number[])[];
  draws: number;
  seed: number;
}

export interface Trend {
  /** Capacitance now along the line, at the coldest temperature. */
  level_F: number;
  levelSpread_F: number;
  /** The temperature law behind the level, of ln C per K. */
  perK: number;
  /** Loss of capacitance in a year at the temperatures seen, as a fraction of the level; one per draw, ascending. */
  lossPerYear: Float64Array;
  /** Fraction of draws in which it does not fall. */
  notFalling: number;
  /** Per limit, seconds from now in each draw, ascending; `Infinity` where it is never reached, 0 where passed. */
  timeUntil_s: Float64Array[];
  /** Where ageing is nearly certain to have changed its pace. */
  paceChange: PaceChange | null;
}

const mostBins = 20;
const fewestBins = 6;
/** Of the standard normal distribution. */
const p90 = 1.2816;

/** Weighted age of the bins under each assumption about the doubling. */
function ageAxes(input: TrendInput, binning: Binning): AgeAxis[] {
  const { time_s, temperature_K } = input;
  const seasons = seasonsOf(time_s);
  const last = time_s.length - 1;
  const belief = input.belief ?? usualBelief;
  // Seen from its first day or not: the root of age needs to know how old it was.
  const unseen_s = Math.max(0, time_s[0]! - (input.installed_s ?? NaN));
  const byRoot = belief['root-of-age'] > 0 && Number.isFinite(unseen_s);
  return doublings.flatMap(({ factor, prior }) => {
    const rates = ageingRates(temperature_K, input.lifeDoubling_K * factor);
    const age = weightedAge(time_s, rates);
    const calendar = ageingCalendar(time_s, age, rates, seasons);
    const sinceLast_s = Math.max(0, input.now_s - time_s[last]!);
    const x = overBins(age, binning, mean);
    const axis: AgeAxis = { calendar, prior, now: age[last]! + sinceLast_s * calendar.meanRate, x };
    return byRoot ? [axis, rootAxis(axis, unseen_s * calendar.meanRate)] : [axis];
  });
}

/**
 * Capacitance over temperature-weighted age: its level now, its fall, and how uncertain both are.
 *
 * Neighbouring tests are joined into at most 20 medians. Several ageing models, with and without a change of pace, are
 * averaged by their posterior probability (`models/bayesian-averaging.ts`), and the medians are resampled under them
 * (`bootstrap.ts`). Returns `null` under 6 medians.
 */
export function reserveTrend(input: TrendInput): Trend | null {
  const n = input.capacitance_F.length;
  const perBin = Math.max(1, Math.ceil(n / mostBins));
  const bins = Math.floor(n / perBin);
  if (bins < fewestBins) return null;
  const offset = n - bins * perBin;
  const binning = { offset, perBin, bins };
  const measured = measuredLevels(input, binning);
  if (!measured) return null;
  const models = posteriorModels(ageAxes(input, binning), measured, input.belief).flatMap(
    (model) => fitModel(model, measured) ?? [],
  );
  if (models.length === 0) return null;

  const { step, limits_F, draws, seed } = input;
  const drawn = bootstrapTrend({
    models,
    measured,
    step: step && { beforeBin: (step.index - offset) / perBin, uncertainty: step.uncertainty },
    limits_F,
    draws,
    seed,
  });
  return {
    level_F: quantileSorted(drawn.level_F, 0.5),
    levelSpread_F: (quantileSorted(drawn.level_F, 0.9) - quantileSorted(drawn.level_F, 0.1)) / (2 * p90),
    perK: measured.perK + models.reduce((sum, { weight, perK }) => sum + weight * perK, 0),
    lossPerYear: drawn.lossPerYear,
    notFalling: drawn.notFalling,
    timeUntil_s: drawn.timeUntil_s,
    paceChange: paceChangeOf(models, (bin) => input.time_s[offset + bin * perBin]!),
  };
}
