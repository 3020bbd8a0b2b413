import { bent, doublings, pick, straightened, weighModels, type Axis } from './ageing-courses.js';
import { bendBin, fewestAfterBend } from './pace-bend.js';
import { normalFrom, seededRandom } from './random.js';
import { pairPoints, quantileOfSorted, theilSen } from './robust.js';
import { binMeans, binMedians } from './test-bins.js';
import { ageingCalendar, ageingRates, seasonsOf, weightedAge } from './weighted-age.js';

export interface TrendInput {
  time_s: Float64Array;
  temperature_K: Float64Array;
  /** Capacitance of each test at the coldest temperature, sudden changes taken out so that all stand at today's level. */
  capacitance_F: Float64Array;
  coldest_K: number;
  /** Standard uncertainty of the temperature law of ln C per K. */
  perKUncertainty: number;
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
  /** Loss of capacitance in a year at the temperatures seen, as a share of the level; one per draw, ascending. */
  lossPerYear: Float64Array;
  /** Share of draws in which it does not fall. */
  notFalling: number;
  /** Per limit, seconds from now in each draw, ascending; `Infinity` where it is never reached, 0 where passed. */
  timeUntil_s: Float64Array[];
  bins: number;
  /** First test that the line stands on. */
  from_s: number;
}

const mostBins = 20;
const fewestBins = 6;
const year_s = 365.25 * 86400;

/**
 * Theil-Sen line of capacitance over temperature-weighted age, and how far it can be off.
 *
 * Neighbouring tests are joined into at most 20 medians. Several courses are held against them (see `doublings` and
 * `shapes`) and weighted by how well each fits. Each draw takes one course by its weight, resamples its residuals in
 * circular blocks (Kuensch 1989, Ann. Stat. 17:1217; Politis & Romano 1992), and draws the temperature law, the size
 * of a sudden change taken out and the seasons to come from their own uncertainty. Repeats exactly for a seed.
 * Returns `null` under 6 medians.
 */
export function reserveTrend(input: TrendInput): Trend | null {
  const { coldest_K, now_s, limits_F, draws, time_s } = input;
  const n = input.capacitance_F.length;
  const perBin = Math.max(1, Math.ceil(n / mostBins));
  const total = Math.floor(n / perBin);
  if (total < fewestBins) return null;
  const offset = n - total * perBin;
  const allLevels = binMedians(input.capacitance_F, offset, perBin, total);
  if (!allLevels.every((value) => value > 0)) return null;

  const seasons = seasonsOf(time_s);
  const allAxes = doublings.map(({ factor, prior }) => {
    const rates = ageingRates(input.temperature_K, input.lifeDoubling_K * factor);
    const age = weightedAge(time_s, rates);
    const calendar = ageingCalendar(time_s, age, rates, seasons);
    const sinceLast_s = Math.max(0, now_s - time_s[n - 1]!);
    return {
      calendar,
      prior,
      now: age[n - 1]! + sinceLast_s * calendar.meanRate,
      x: binMeans(age, offset, perBin, total),
    };
  });
  const bend = bendBin(allAxes[1]!.x, allLevels);
  // The bend itself is known to about one median.
  const from = bend > 0 && total - bend - 1 >= fewestAfterBend ? bend + 1 : bend;
  const bins = total - from;
  const measured = allLevels.subarray(from);
  const warmer = binMeans(input.temperature_K, offset, perBin, total).subarray(from);
  for (let i = 0; i < bins; i++) warmer[i]! -= coldest_K;
  const axes = allAxes.map((axis): Axis => {
    const x = axis.x.subarray(from);
    return { ...axis, x, points: pairPoints(x) };
  });
  const stepBin = input.step ? (input.step.index - offset) / perBin - from : 0;

  const scratch = new Float64Array(Math.max(bins, (bins * (bins - 1)) / 2));
  const binScatter = (input.scatter * (perBin > 2 ? 1.25 : 1)) / Math.sqrt(perBin);
  const models = weighModels(axes, measured, binScatter, scratch);
  if (models.length === 0) return null;

  const random = seededRandom(input.seed);
  const block = Math.max(2, Math.round(Math.cbrt(bins)));
  const drawn = new Float64Array(bins);
  const levels = new Float64Array(draws);
  const losses = new Float64Array(draws);
  const until = limits_F.map(() => new Float64Array(draws));
  let notFalling = 0;
  for (let d = 0; d < draws; d++) {
    const model = pick(models, random());
    const { power, fitted, residual, calendar } = model;
    const perK = input.perKUncertainty * normalFrom(random);
    const step = input.step ? input.step.uncertainty * normalFrom(random) : 0;
    // A relative error e is e on the logarithmic scale and power e C^power on the others.
    for (let i = 0; i < bins;) {
      const place = Math.floor(random() * bins);
      for (let j = 0; j < block && i < bins; j++, i++) {
        const relative = -perK * warmer[i]! + (i < stepBin ? step : 0);
        const lean = power === 0 ? relative : power * fitted[i]! * relative;
        const other = place + j;
        drawn[i] = fitted[i]! + lean + residual[other < bins ? other : other - bins]!;
      }
    }
    const line = theilSen(model.points, drawn, scratch);
    const bentLevel = line.intercept + line.slope * model.now;
    const level = straightened(bentLevel, power);
    const bentSlope = power < 0 ? -line.slope : line.slope;
    levels[d] = level;
    const nextYear = straightened(bentLevel + line.slope * calendar.meanRate * year_s, power);
    losses[d] = level > 0 && nextYear < Infinity ? 1 - nextYear / level : 0;
    if (!(bentSlope < 0)) notFalling++;
    const season = normalFrom(random);
    const belief = random();
    for (let l = 0; l < limits_F.length; l++) {
      const beliefs = limits_F[l]!;
      const limit = beliefs[Math.floor(belief * beliefs.length)]!;
      if (!(level > limit)) until[l]![d] = 0;
      else if (!(bentSlope < 0)) until[l]![d] = Infinity;
      else {
        const added_s = (bent(limit, power) - bentLevel) / line.slope;
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
    lossPerYear: losses,
    notFalling: notFalling / draws,
    timeUntil_s: until,
    bins,
    from_s: time_s[offset + from * perBin]!,
  };
}
