import { fitLinear } from './linear-fit.js';
import { normalFrom, seededRandom } from './random.js';
import { medianInPlace, quantileOfSorted, theilSen } from './robust.js';
import { ageingCalendar, weightedAge } from './weighted-age.js';

/** Tests of one stretch without a step, normalised; all of one length. */
export interface TrendInput {
  time_s: Float64Array;
  temperature_K: Float64Array;
  /** Reserve of each test at the coldest temperature. */
  reserve: Float64Array;
  coldest_K: number;
  /** Standard uncertainty of the temperature law of ln C per K. */
  perKUncertainty: number;
  /** Times and temperatures of all tests, for the seasons to come. */
  allTime_s: Float64Array;
  allTemperature_K: Float64Array;
  now_s: number;
  lifeDoubling_K: number;
  limits: readonly number[];
  draws: number;
  seed: number;
}

export interface Trend {
  /** Reserve now along the line. */
  level: number;
  levelSpread: number;
  /** Loss per year at the temperatures seen, as a share of the level; one per draw, ascending. */
  lossPerYear: Float64Array;
  /** Share of draws in which the reserve does not fall. */
  notFalling: number;
  /** Per limit, seconds from now in each draw, ascending; `Infinity` where it is never reached, 0 where passed. */
  timeUntil_s: Float64Array[];
  bins: number;
  /** First test that the line stands on. */
  from_s: number;
}

const mostBins = 30;
const fewestAfterBend = 8;
const year_s = 365.25 * 86400;
/** How far "life doubles per 10 K" may itself be off: a factor on the 10 K, each as likely. */
const doublingFactors = [0.85, 1, 1.2];
/** Ageing need not go on as straight as it went: share of the time to come, once as far ahead as was seen. */
const shapeSpread = 0.06;

/**
 * Theil-Sen line of reserve over temperature-weighted age, and how far it can be off: neighbouring tests are joined
 * into at most 30 medians, their residuals resampled in circular blocks (Kuensch 1989, Ann. Stat. 17:1217; Politis &
 * Romano 1992), and with each draw the temperature law, the doubling temperature and the seasons to come are drawn
 * anew from their own uncertainty. Repeats exactly for a seed. Returns `null` under 6 medians.
 */
export function reserveTrend(input: TrendInput): Trend | null {
  const { coldest_K, now_s, limits, draws } = input;
  const n = input.reserve.length;
  const perBin = Math.max(1, Math.ceil(n / mostBins));
  const total = Math.floor(n / perBin);
  if (total < 6) return null;
  const offset = n - total * perBin;

  const axes = doublingFactors.map((factor) => {
    const doubling_K = input.lifeDoubling_K * factor;
    const age = weightedAge(input.allTime_s, input.allTemperature_K, doubling_K);
    const calendar = ageingCalendar(input.allTime_s, age);
    const last = input.allTime_s.length - 1;
    const first = last + 1 - n;
    const sinceLast_s = Math.max(0, now_s - input.allTime_s[last]!);
    return {
      calendar,
      now: age[last]! + sinceLast_s * calendar.meanRate,
      binned: binMeans(age.subarray(first, last + 1), offset, perBin, total),
    };
  });
  const allReserve = binMedians(input.reserve, offset, perBin, total);
  const allWarmer = binMeans(input.temperature_K, offset, perBin, total).map((value) => value - coldest_K);

  const from = bendBin(axes[1]!.binned, allReserve);
  const bins = total - from;
  const reserve = allReserve.subarray(from);
  const warmer = allWarmer.subarray(from);
  const scratch = new Float64Array(Math.max(bins, (bins * (bins - 1)) / 2));
  const lines = axes.map((axis) => {
    const x = axis.binned.subarray(from);
    const line = theilSen(x, reserve, scratch);
    const inflate = Math.sqrt(bins / (bins - 2));
    const fitted = Float64Array.from(x, (value) => line.intercept + line.slope * value);
    const residual = Float64Array.from(fitted, (value, i) => (reserve[i]! - value) * inflate);
    const mean = residual.reduce((sum, value) => sum + value, 0) / bins;
    return { ...axis, x, line, fitted, residual: residual.map((value) => value - mean) };
  });
  const middle = lines[1]!;
  if (!Number.isFinite(middle.line.slope)) return null;

  const random = seededRandom(input.seed);
  const block = Math.max(2, Math.round(Math.cbrt(bins)));
  const drawn = new Float64Array(bins);
  const levels = new Float64Array(draws);
  const losses = new Float64Array(draws);
  const until = limits.map(() => new Float64Array(draws));
  const span = middle.x[bins - 1]! - middle.x[0]!;
  let notFalling = 0;
  for (let d = 0; d < draws; d++) {
    const axis = lines[Math.floor(random() * lines.length)]!;
    const perK = input.perKUncertainty * normalFrom(random);
    for (let i = 0; i < bins;) {
      const place = Math.floor(random() * bins);
      for (let j = 0; j < block && i < bins; j++, i++) {
        drawn[i] = axis.fitted[i]! * (1 - perK * warmer[i]!) + axis.residual[(place + j) % bins]!;
      }
    }
    const line = theilSen(axis.x, drawn, scratch);
    const level = line.intercept + line.slope * axis.now;
    levels[d] = level;
    losses[d] = (-line.slope * axis.calendar.meanRate * year_s) / level;
    if (line.slope >= 0) notFalling++;
    const season = Math.exp(axis.calendar.rateSpread * normalFrom(random));
    const shape = normalFrom(random);
    limits.forEach((limit, l) => {
      if (level <= limit) until[l]![d] = 0;
      else if (line.slope >= 0) until[l]![d] = Infinity;
      else {
        const added = (level - limit) / -line.slope;
        const bend = Math.exp(shapeSpread * Math.min(1, added / span) * shape);
        until[l]![d] = axis.calendar.timeUntil_s((added * bend) / season);
      }
    });
  }
  levels.sort();
  losses.sort();
  until.forEach((column) => column.sort());
  return {
    level: middle.line.intercept + middle.line.slope * middle.now,
    levelSpread: (quantileOfSorted(levels, 0.9) - quantileOfSorted(levels, 0.1)) / (2 * 1.2816),
    lossPerYear: losses,
    notFalling: notFalling / draws,
    timeUntil_s: until,
    bins,
    from_s: input.time_s[offset + from * perBin]!,
  };
}

function binMedians(values: Float64Array, offset: number, perBin: number, total: number): Float64Array {
  const scratch = new Float64Array(perBin);
  return Float64Array.from({ length: total }, (_, b) => {
    for (let i = 0; i < perBin; i++) scratch[i] = values[offset + b * perBin + i]!;
    return medianInPlace(scratch);
  });
}

function binMeans(values: Float64Array, offset: number, perBin: number, total: number): Float64Array {
  return Float64Array.from({ length: total }, (_, b) => {
    let sum = 0;
    for (let i = 0; i < perBin; i++) sum += values[offset + b * perBin + i]!;
    return sum / perBin;
  });
}

/**
 * Where ageing changed its pace: the bin from which a second slope makes the fit so much better that chance would not
 * (largest F of a hinge over all places, Andrews 1993, Econometrica 61:821; 16 is beyond its 1 % point here).
 * 0 where one line does.
 */
function bendBin(x: Float64Array, y: Float64Array): number {
  const n = x.length;
  if (n < 2 * fewestAfterBend) return 0;
  const ones = new Float64Array(n).fill(1);
  const straight = fitLinear([ones, x], y);
  if (!straight) return 0;
  const straightSquares = straight.residualVariance * straight.degreesOfFreedom;
  let best = 0;
  let bestF = 16;
  for (let k = 4; k <= n - fewestAfterBend; k++) {
    const hinge = Float64Array.from(x, (value) => Math.max(0, value - x[k]!));
    const fit = fitLinear([ones, x, hinge], y);
    if (!fit || !(fit.residualVariance > 0)) continue;
    const f = (straightSquares - fit.residualVariance * fit.degreesOfFreedom) / fit.residualVariance;
    if (f > bestF) {
      bestF = f;
      best = k;
    }
  }
  return best;
}
