import { fitLinear, residuals } from '../../../numerics/linear-fit.js';
import { filled } from '../../../numerics/robust.js';
import { sinceChange, type Course, type MeasuredLevels } from './weigh-courses.js';

/** A course that draws are taken from: its line, what the medians leave of it, and how it follows from them. */
export interface CourseModel extends Course {
  fitted: Float64Array;
  residual: Float64Array;
  /** True where the later pace is the faster. */
  quickens: boolean;
  /** What each median adds to the level now and to the slope over weighted age, on the scale of the power. */
  inLevel: Float64Array;
  inSlope: Float64Array;
}

/** In scatters of a median; further out counts as so far (Huber 1964, Ann. Math. Stat. 35:73). */
const farthest = 2.5;

/**
 * The course fitted by least squares to medians freed of the error of the temperature law that it implies; a later
 * pace is held near the first by what is believed of it. `null` where the medians do not tell its terms apart.
 */
export function modelOf(course: Course, measured: MeasuredLevels): CourseModel | null {
  const { perK, change, axis, scale } = course;
  const { x, now } = axis;
  const { relative } = scale;
  const bins = x.length;
  const z = filled(bins, (i) => scale.z[i]! - (perK * measured.warmer_K[i]!) / relative[i]!);
  const weights = filled(bins, (i) => relative[i]! * relative[i]!);
  const terms = [new Float64Array(bins).fill(1), x];
  if (change > 0) terms.push(sinceChange(x, change));
  const held = change > 0 ? [{ index: 2, mean: 0, precision: scale.noChange }] : [];

  let fit = fitLinear(terms, z, weights, held);
  if (fit && pullIn(z, residuals(terms, fit.coefficients, z), relative, farthest * measured.scatter))
    fit = fitLinear(terms, z, weights, held);
  if (!fit) return null;
  const { coefficients, inverse } = fit;
  const left = residuals(terms, coefficients, z);

  const p = terms.length;
  const atNow = [1, now, now - x[change]!];
  const inLevel = new Float64Array(bins);
  const inSlope = new Float64Array(bins);
  for (let a = 0; a < p; a++) {
    for (let i = 0; i < bins; i++) {
      let share = 0;
      for (let b = 0; b < p; b++) share += inverse[a * p + b]! * terms[b]![i]!;
      share *= weights[i]!;
      inLevel[i]! += share * atNow[a]!;
      if (a > 0) inSlope[i]! += share;
    }
  }
  return {
    ...course,
    fitted: filled(bins, (i) => z[i]! - left[i]!),
    residual: widened(left, p),
    quickens: change > 0 && coefficients[2]! < 0,
    inLevel,
    inSlope,
  };
}

/** Draws values that are off the line by more than `most`, as a relative error, in to there; true if there were any. */
function pullIn(z: Float64Array, off: Float64Array, relative: Float64Array, most: number): boolean {
  let any = false;
  for (let i = 0; i < z.length; i++) {
    const far = Math.abs(off[i]! * relative[i]!);
    if (far <= most) continue;
    z[i]! -= off[i]! * (1 - most / far);
    any = true;
  }
  return any;
}

/** Residuals about their mean, widened by the degrees of freedom that the line took. */
function widened(left: Float64Array, freed: number): Float64Array {
  const n = left.length;
  const mean = left.reduce((sum, value) => sum + value, 0) / n;
  const inflate = Math.sqrt(n / (n - freed));
  return filled(n, (i) => (left[i]! - mean) * inflate);
}

/** The model at a share of the weights added up, so that a uniform draw takes each by its weight. */
export function pick(models: readonly CourseModel[], share: number): CourseModel {
  let left = share;
  for (const model of models) {
    left -= model.weight;
    if (left < 0) return model;
  }
  return models[models.length - 1]!;
}
