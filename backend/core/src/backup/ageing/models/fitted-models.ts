import { filled, fitLinear, mean, residuals, type LinearFit } from '../../../numerics/index.js';
import { ageSinceChange, type AgeingModel, type MeasuredLevels } from './bayesian-averaging.js';

/** An ageing model ready for resampling: its line, the residuals, and how the line follows from the medians. */
export interface FittedModel extends AgeingModel {
  fitted: Float64Array;
  residual: Float64Array;
  /** True where the later pace is the faster. */
  quickens: boolean;
  /** Weight of each median in the level now and in the slope over weighted age, on the scale of the power. */
  inLevel: Float64Array;
  inSlope: Float64Array;
}

/** Residuals are winsorised at so many scatters of a median (Huber 1964, Ann. Math. Stat. 35:73). */
const winsorLimit = 2.5;

/**
 * The model fitted by least squares to the medians, corrected for the error of the temperature law under this model. A
 * change of pace is held near none by its prior. `null` where the medians do not tell its terms apart.
 */
export function fitModel(model: AgeingModel, measured: MeasuredLevels): FittedModel | null {
  const { perK, change, axis, scale } = model;
  const { x } = axis;
  const { relative } = scale;
  const z = filled(x.length, (i) => scale.z[i]! - (perK * measured.warmer_K[i]!) / relative[i]!);
  const weights = filled(x.length, (i) => relative[i]! * relative[i]!);
  const terms = [new Float64Array(x.length).fill(1), x];
  if (change > 0) terms.push(ageSinceChange(x, change));
  const prior = change > 0 ? [{ index: 2, mean: 0, precision: scale.noChange }] : [];

  let fit = fitLinear(terms, z, weights, prior);
  if (!fit) return null;
  const off = residuals(terms, fit.coefficients, z);
  if (winsorise(z, off, relative, winsorLimit * measured.scatter)) fit = fitLinear(terms, z, weights, prior);
  if (!fit) return null;
  const left = residuals(terms, fit.coefficients, z);
  return {
    ...model,
    fitted: filled(x.length, (i) => z[i]! - left[i]!),
    residual: inflatedResiduals(left, terms.length),
    quickens: change > 0 && fit.coefficients[2]! < 0,
    ...weightsOfMedians(model, terms, weights, fit),
  };
}

/** Rows of (X'WX)^-1 X'W, combined into the level now and the slope after the last change of pace. */
function weightsOfMedians(
  { axis: { x, now }, change }: AgeingModel,
  terms: readonly Float64Array[],
  weights: Float64Array,
  { inverse }: LinearFit,
): Pick<FittedModel, 'inLevel' | 'inSlope'> {
  const p = terms.length;
  const atNow = [1, now, now - x[change]!];
  const inLevel = new Float64Array(x.length);
  const inSlope = new Float64Array(x.length);
  for (let a = 0; a < p; a++) {
    for (let i = 0; i < x.length; i++) {
      let weight = 0;
      for (let b = 0; b < p; b++) weight += inverse[a * p + b]! * terms[b]![i]!;
      weight *= weights[i]!;
      inLevel[i]! += weight * atNow[a]!;
      if (a > 0) inSlope[i]! += weight;
    }
  }
  return { inLevel, inSlope };
}

/** Winsorises the residuals at a relative error of `most` by moving the values in place; true if any was moved. */
function winsorise(z: Float64Array, off: Float64Array, relative: Float64Array, most: number): boolean {
  let moved = false;
  for (let i = 0; i < z.length; i++) {
    const far = Math.abs(off[i]! * relative[i]!);
    if (far <= most) continue;
    z[i]! -= off[i]! * (1 - most / far);
    moved = true;
  }
  return moved;
}

/** Residuals about their mean, inflated for the degrees of freedom that the line took. */
function inflatedResiduals(left: Float64Array, parameters: number): Float64Array {
  const n = left.length;
  const centre = mean(left);
  const inflate = Math.sqrt(n / (n - parameters));
  return filled(n, (i) => (left[i]! - centre) * inflate);
}

/** The model at a quantile of the cumulative weights, so that a uniform draw takes each model by its weight. */
export function modelAtQuantile(models: readonly FittedModel[], quantile: number): FittedModel {
  let left = quantile;
  for (const model of models) {
    left -= model.weight;
    if (left < 0) return model;
  }
  return models[models.length - 1]!;
}
