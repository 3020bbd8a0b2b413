import { theilSen, type PairedPoints } from './robust.js';
import type { AgeingCalendar } from './weighted-age.js';

/** "Life doubles per 10 K" may itself be off: factors on the 10 K and how far each is believed beforehand. */
export const doublings = [
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

/** Weighted age by one belief about the doubling, over the bins of tests. */
export interface Axis {
  calendar: AgeingCalendar;
  now: number;
  x: Float64Array;
  points: PairedPoints;
  prior: number;
}

/** A course that draws are taken from. */
export interface Model extends Axis {
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

/** A capacitance on the scale on which its fall is straight, and back. */
export const bent = (value: number, power: number): number =>
  power === 0 ? Math.log(value) : value ** power;
export const straightened = (value: number, power: number): number =>
  power === 0 ? Math.exp(value) : value > 0 ? value ** (1 / power) : power > 0 ? 0 : Infinity;

/** Every course with its line and residuals; weight = prior times likelihood of its residuals, under 1 % left out. */
export function weighModels(
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

/** The course at a share of the weights added up, so that a uniform draw takes each by its weight. */
export function pick(models: readonly Model[], share: number): Model {
  let left = share;
  for (const model of models) {
    left -= model.weight;
    if (left < 0) return model;
  }
  return models[models.length - 1]!;
}
