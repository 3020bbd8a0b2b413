import { fitLinear } from './linear-fit.js';
import { normalFrom, seededRandom } from './random.js';
import {
  filled,
  medianInPlace,
  pairPoints,
  quantileOfSorted,
  theilSen,
  type PairedPoints,
} from './robust.js';
import { ageingCalendar, ageingRates, seasonsOf, weightedAge, type AgeingCalendar } from './weighted-age.js';

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
const fewestAfterBend = 6;
const leastBendF = 9;
const year_s = 365.25 * 86400;
/** "Life doubles per 10 K" may itself be off: factors on the 10 K and how far each is believed beforehand. */
const doublings = [
  { factor: 0.8, prior: 0.25 },
  { factor: 1, prior: 0.5 },
  { factor: 1.25, prior: 0.25 },
];
/**
 * Nor need capacitance fall straight: C^power is taken as straight over weighted age. 1 is a straight fall, 0 (the
 * logarithm) one by the same share each year, over 1 one that quickens; the high ones stand for ageing that has set in
 * of late, before a bend can be told from scatter.
 */
const shapes = [
  { power: 0, prior: 0.15 },
  { power: 0.5, prior: 0.2 },
  { power: 1, prior: 0.36 },
  { power: 1.5, prior: 0.14 },
  { power: 3, prior: 0.1 },
  { power: 6, prior: 0.05 },
];

interface Axis {
  calendar: AgeingCalendar;
  now: number;
  x: Float64Array;
  points: PairedPoints;
  prior: number;
}

interface Model extends Axis {
  power: number;
  slope: number;
  intercept: number;
  fitted: Float64Array;
  residual: Float64Array;
  weight: number;
}

/** A course held against the medians, before it is known whether it will be drawn from. */
interface Course {
  axis: Axis;
  power: number;
  z: Float64Array;
  slope: number;
  intercept: number;
  squares: number;
  weight: number;
}

const bent = (value: number, power: number): number => (power === 0 ? Math.log(value) : value ** power);
const straightened = (value: number, power: number): number =>
  power === 0 ? Math.exp(value) : value > 0 ? value ** (1 / power) : power > 0 ? 0 : Infinity;

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

/** Every course with its line and residuals; weight = prior times likelihood of its residuals, under 1 % left out. */
function weighModels(
  axes: Axis[],
  measured: Float64Array,
  binScatter: number,
  scratch: Float64Array,
): Model[] {
  const bins = measured.length;
  const courses: Course[] = [];
  for (const { power, prior } of shapes) {
    const z = new Float64Array(bins);
    // A small relative error of the capacitance is so much of one on the bent scale.
    const relative = new Float64Array(bins);
    for (let i = 0; i < bins; i++) {
      z[i] = bent(measured[i]!, power);
      relative[i] = power === 0 ? 1 : 1 / (power * z[i]!);
    }
    for (const axis of axes) {
      const { x } = axis;
      const { slope, intercept } = theilSen(axis.points, z, scratch);
      if (!Number.isFinite(slope)) continue;
      let squares = 0;
      for (let i = 0; i < bins; i++) squares += ((z[i]! - intercept - slope * x[i]!) * relative[i]!) ** 2;
      courses.push({ axis, power, z, slope, intercept, squares, weight: prior * axis.prior });
    }
  }
  const least = courses.reduce((low, course) => Math.min(low, course.squares), Infinity);
  // Neighbouring medians share errors of temperature law and season: two thirds of the evidence that independent ones would be.
  const variance = Math.max(binScatter * binScatter, least / Math.max(1, bins - 3));
  for (const course of courses) course.weight *= Math.exp(-(course.squares - least) / (3 * variance));
  const sum = courses.reduce((all, course) => all + course.weight, 0);
  const kept = courses.filter((course) => course.weight > 0.01 * sum);
  const keptSum = kept.reduce((all, course) => all + course.weight, 0);
  return kept.map((course) => modelOf(course, course.weight / keptSum));
}

/** Residuals about their mean, and widened by the two degrees of freedom that the line took. */
function modelOf({ axis, power, z, slope, intercept }: Course, weight: number): Model {
  const bins = z.length;
  const fitted = new Float64Array(bins);
  const residual = new Float64Array(bins);
  let mean = 0;
  for (let i = 0; i < bins; i++) {
    fitted[i] = intercept + slope * axis.x[i]!;
    residual[i] = z[i]! - fitted[i]!;
    mean += residual[i]! / bins;
  }
  const inflate = Math.sqrt(bins / (bins - 2));
  for (let i = 0; i < bins; i++) residual[i] = (residual[i]! - mean) * inflate;
  return { ...axis, power, slope, intercept, fitted, residual, weight };
}

function pick(models: readonly Model[], share: number): Model {
  let left = share;
  for (const model of models) {
    left -= model.weight;
    if (left < 0) return model;
  }
  return models[models.length - 1]!;
}

function binMedians(values: Float64Array, offset: number, perBin: number, total: number): Float64Array {
  const scratch = new Float64Array(perBin);
  return filled(total, (b) => {
    for (let i = 0; i < perBin; i++) scratch[i] = values[offset + b * perBin + i]!;
    return medianInPlace(scratch);
  });
}

function binMeans(values: Float64Array, offset: number, perBin: number, total: number): Float64Array {
  const out = new Float64Array(total);
  for (let b = 0; b < total; b++) {
    let sum = 0;
    for (let i = 0; i < perBin; i++) sum += values[offset + b * perBin + i]!;
    out[b] = sum / perBin;
  }
  return out;
}

/**
 * Where ageing changed its pace: the bin from which a second slope makes the fit so much better than any smooth bend
 * does that chance would do it in under one module of twenty (largest F of a hinge over all places, Andrews 1993,
 * Econometrica 61:821, whose 5 % point for one slope is about 8.9: MEMORY). 0 where one line does.
 */
function bendBin(x: Float64Array, y: Float64Array): number {
  const n = x.length;
  if (n < 2 * fewestAfterBend) return 0;
  const ones = new Float64Array(n).fill(1);
  const squared = x.map((value) => value * value);
  const smooth = fitLinear([ones, x, squared], y);
  if (!smooth) return 0;
  const smoothSquares = smooth.residualVariance * smooth.degreesOfFreedom;
  let best = 0;
  let bestF = leastBendF;
  const hinge = new Float64Array(n);
  for (let k = 3; k <= n - fewestAfterBend; k++) {
    for (let i = 0; i < n; i++) hinge[i] = Math.max(0, x[i]! - x[k]!);
    const fit = fitLinear([ones, x, hinge], y);
    if (!fit || !(fit.residualVariance > 0)) continue;
    const f = (smoothSquares - fit.residualVariance * fit.degreesOfFreedom) / fit.residualVariance;
    if (f > bestF) {
      bestF = f;
      best = k;
    }
  }
  return best;
}
