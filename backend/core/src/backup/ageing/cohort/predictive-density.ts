import { filled, fitLinear } from '../../../numerics/index.js';
import {
  ageSinceChange,
  powerTransform,
  rootOfAge_s,
  type AgeingModel,
  type MeasuredLevels,
} from '../models/index.js';

/** All levels of a module, of which those from `from` on are to be predicted. */
export interface LaterLevels {
  from: number;
  level_F: Float64Array;
  warmer_K: Float64Array;
  /** Weighted age since new. */
  age_s: Float64Array;
}

/**
 * ln of the density that a model, fitted to the earlier levels, gives to the later ones, one after the other, each added
 * to the fit before the next is predicted (recursive least squares; their product is the joint density). Errors are
 * relative and follow Student's t by the freedom of the scatter; constants that all models share are left out.
 */
export function predictiveDensity(
  { axis, change, scale: { power, noChange } }: AgeingModel,
  measured: MeasuredLevels,
  variance: number,
  { from, level_F, warmer_K, age_s }: LaterLevels,
): number {
  const { scatter, perKUncertainty, freedom } = measured;
  const n = level_F.length;
  const z = filled(n, (i) => powerTransform(level_F[i]!, power));
  const relative = filled(n, (i) => (power === 0 ? 1 : 1 / (power * z[i]!)));
  const x = axis.root ? age_s.map(rootOfAge_s) : age_s;
  const terms = [new Float64Array(n).fill(1), x, warmer_K.map((warmer, i) => warmer / relative[i]!)];
  const prior = [{ index: 2, mean: 0, precision: (scatter / perKUncertainty) ** 2 }];
  if (change > 0) {
    terms.push(ageSinceChange(x, change));
    prior.push({ index: 3, mean: 0, precision: noChange });
  }
  const p = terms.length;
  const early = (values: Float64Array) => values.subarray(0, from);
  const weights = filled(from, (i) => relative[i]! ** 2);
  const fit = fitLinear(terms.map(early), early(z), weights, prior);
  if (!fit) return -Infinity;
  const coefficients = Float64Array.from(fit.coefficients);
  const inverse = Float64Array.from(fit.inverse);
  const gain = new Float64Array(p);
  let density = 0;
  for (let i = from; i < n; i++) {
    let error = z[i]!;
    let spread = 0;
    for (let a = 0; a < p; a++) {
      error -= coefficients[a]! * terms[a]![i]!;
      gain[a] = 0;
      for (let b = 0; b < p; b++) gain[a]! += inverse[a * p + b]! * terms[b]![i]!;
      spread += gain[a]! * terms[a]![i]!;
    }
    const own = 1 / relative[i]! ** 2;
    const total = own + spread;
    const squares = (error * error) / (variance * total);
    density -= Math.log(total / own) / 2 + ((freedom + 1) / 2) * Math.log1p(squares / freedom);
    for (let a = 0; a < p; a++) {
      coefficients[a]! += (gain[a]! * error) / total;
      for (let b = 0; b < p; b++) inverse[a * p + b]! -= (gain[a]! * gain[b]!) / total;
    }
  }
  return density;
}
