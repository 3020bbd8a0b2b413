import {
  bent,
  doublings,
  straightened,
  type Axis,
  modelOf,
  pick,
  paceChangeOf,
  type PaceChange,
  weighCourses,
  type MeasuredLevels,
} from './models/index.js';
import {
  lawWithinBins,
  capacitancePrior,
  binMeans,
  binMedians,
  type Binning,
  ageingCalendar,
  ageingRates,
  seasonsOf,
  weightedAge,
} from './temperature-law/index.js';
import { normalFrom, seededRandom } from '../../numerics/random.js';
import { dot } from '../../numerics/right-angles.js';
import { filled, quantileOfSorted } from '../../numerics/robust.js';

export interface TrendInput {
  time_s: Float64Array;
  temperature_K: Float64Array;
  /** Capacitance of each test at the coldest temperature, sudden changes taken out so that all stand at today's level. */
  capacitance_F: Float64Array;
  coldest_K: number;
  /** The temperature law by which they were brought there, of ln C per K. */
  perK: number;
  /** Relative scatter of one test. */
  scatter: number;
  /** Where the last sudden change was taken out, and how well its size is known (relative, one standard error). */
  step: { index: number; uncertainty: number } | null;
  now_s: number;
  lifeDoubling_K: number;
  /**
   * Per limit of the reserve, the capacitances at which it is reached: one for each belief about how ESR will go on
   * rising, taken with equal chance.
   */
  limits_F: readonly (readonly number[])[];
  draws: number;
  seed: number;
}

export interface Trend {
  /** Capacitance now along the line, at the coldest temperature. */
  level_F: number;
  levelSpread_F: number;
  /** The temperature law on which the level stands, of ln C per K. */
  perK: number;
  /** Loss of capacitance in a year at the temperatures seen, as a share of the level; one per draw, ascending. */
  lossPerYear: Float64Array;
  /** Share of draws in which it does not fall. */
  notFalling: number;
  /** Per limit, seconds from now in each draw, ascending; `Infinity` where it is never reached, 0 where passed. */
  timeUntil_s: Float64Array[];
  /** Where ageing is all but sure to have changed its pace. */
  paceChange: PaceChange | null;
}

const mostBins = 20;
const fewestBins = 6;
const year_s = 365.25 * 86400;

/** Weighted age over the bins by each belief about the doubling. */
function axesOver(input: TrendInput, binning: Binning): Axis[] {
  const { time_s, temperature_K } = input;
  const seasons = seasonsOf(time_s);
  const last = time_s.length - 1;
  return doublings.map(({ factor, prior }) => {
    const rates = ageingRates(temperature_K, input.lifeDoubling_K * factor);
    const age = weightedAge(time_s, rates);
    const calendar = ageingCalendar(time_s, age, rates, seasons);
    const sinceLast_s = Math.max(0, input.now_s - time_s[last]!);
    const x = binMeans(age, binning);
    return { calendar, prior, now: age[last]! + sinceLast_s * calendar.meanRate, x };
  });
}

/** Medians of neighbouring tests at the coldest temperature, by the law that is seen inside them. */
function measuredLevels(input: TrendInput, binning: Binning): MeasuredLevels | null {
  const { perBin, bins } = binning;
  const { temperature_K, capacitance_F } = input;
  const level_F = binMedians(capacitance_F, binning);
  if (!level_F.every((value) => value > 0)) return null;
  const warmer_K = filled(temperature_K.length, (i) => temperature_K[i]! - input.coldest_K);
  const ln = filled(capacitance_F.length, (i) => Math.log(capacitance_F[i]!));
  const prior = { mean: capacitancePrior.mean - input.perK, spread: capacitancePrior.spread };
  const law = lawWithinBins({ ln, warmer_K }, binning, prior, input.scatter);
  const binWarmer_K = binMeans(warmer_K, binning);
  return {
    level_F: filled(bins, (i) => level_F[i]! * Math.exp(-law.perK * binWarmer_K[i]!)),
    // The median of many has 1.25 times the scatter of their mean.
    scatter: (input.scatter * (perBin > 2 ? 1.25 : 1)) / Math.sqrt(perBin),
    // A median of absolute differences between neighbours is worth about a quarter of as many independent tests.
    freedom: (perBin * bins) / 4,
    warmer_K: binWarmer_K,
    perK: input.perK + law.perK,
    perKUncertainty: law.uncertainty,
  };
}

/**
 * Line of capacitance over temperature-weighted age, and how far it can be off.
 *
 * Neighbouring tests are joined into at most 20 medians. Several courses, of one pace and of two, are held against
 * them (`ageing-courses.ts`) and weighted by how well each fits. Each draw takes one course by its weight, resamples
 * its residuals in circular blocks (Kuensch 1989, Ann. Stat. 17:1217; Politis & Romano 1992), and draws the
 * temperature law, the size of a sudden change taken out and the seasons to come from their own uncertainty. Repeats
 * exactly for a seed. Returns `null` under 6 medians.
 */
export function reserveTrend(input: TrendInput): Trend | null {
  const { limits_F, draws } = input;
  const n = input.capacitance_F.length;
  const perBin = Math.max(1, Math.ceil(n / mostBins));
  const bins = Math.floor(n / perBin);
  if (bins < fewestBins) return null;
  const offset = n - bins * perBin;
  const binning = { offset, perBin, bins };
  const measured = measuredLevels(input, binning);
  if (!measured) return null;
  const models = weighCourses(axesOver(input, binning), measured).flatMap(
    (course) => modelOf(course, measured) ?? [],
  );
  if (models.length === 0) return null;
  const stepBin = input.step ? (input.step.index - offset) / perBin : 0;

  const random = seededRandom(input.seed);
  const block = Math.max(2, Math.round(Math.cbrt(bins)));
  const drawn = new Float64Array(bins);
  const levels = new Float64Array(draws);
  const losses = new Float64Array(draws);
  const until = limits_F.map(() => new Float64Array(draws));
  let notFalling = 0;
  for (let d = 0; d < draws; d++) {
    const model = pick(models, random());
    const { fitted, residual } = model;
    const { power } = model.scale;
    const { calendar } = model.axis;
    const perK = model.perKUncertainty * normalFrom(random);
    const step = input.step ? input.step.uncertainty * normalFrom(random) : 0;
    // A relative error e is e on the logarithmic scale and power e C^power on the others.
    for (let i = 0; i < bins;) {
      const place = Math.floor(random() * bins);
      for (let j = 0; j < block && i < bins; j++, i++) {
        const relative = -perK * measured.warmer_K[i]! + (i < stepBin ? step : 0);
        const lean = power === 0 ? relative : power * fitted[i]! * relative;
        const other = place + j;
        drawn[i] = fitted[i]! + lean + residual[other < bins ? other : other - bins]!;
      }
    }
    const bentLevel = dot(model.inLevel, drawn);
    const slope = dot(model.inSlope, drawn);
    const level = straightened(bentLevel, power);
    levels[d] = level;
    const nextYear = straightened(bentLevel + slope * calendar.meanRate * year_s, power);
    losses[d] = level > 0 && nextYear < Infinity ? 1 - nextYear / level : 0;
    if (!(slope < 0)) notFalling++;
    const season = normalFrom(random);
    const belief = random();
    for (let l = 0; l < limits_F.length; l++) {
      const beliefs = limits_F[l]!;
      const limit = beliefs[Math.floor(belief * beliefs.length)]!;
      if (!(level > limit)) until[l]![d] = 0;
      else if (!(slope < 0)) until[l]![d] = Infinity;
      else {
        const added_s = (bent(limit, power) - bentLevel) / slope;
        const expected_s = calendar.timeUntil_s(added_s);
        const faster = Math.exp(calendar.spread(expected_s) * season);
        until[l]![d] = calendar.timeUntil_s(added_s / faster);
      }
    }
  }
  levels.sort();
  losses.sort();
  until.forEach((column) => column.sort());
  return {
    level_F: quantileOfSorted(levels, 0.5),
    levelSpread_F: (quantileOfSorted(levels, 0.9) - quantileOfSorted(levels, 0.1)) / (2 * 1.2816),
    perK: measured.perK + models.reduce((sum, { weight, perK }) => sum + weight * perK, 0),
    lossPerYear: losses,
    notFalling: notFalling / draws,
    timeUntil_s: until,
    paceChange: paceChangeOf(models, (bin) => input.time_s[offset + bin * perBin]!),
  };
}
