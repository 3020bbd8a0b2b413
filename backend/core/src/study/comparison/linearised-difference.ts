import { studentQuantile } from '../../numerics/index.js';
import { movesAlong, type Design } from './overlap-weights.js';
import type { ResampledFigure } from './unit-resampling.js';
import { weightedMeans } from './weighted-means.js';

/** A comparison by overlap weights, ready for its standard error. */
export interface WeightedComparison {
  design: Design;
  first: readonly boolean[];
  outcome: Float64Array;
  /** Coefficients of the propensity, and the weight that each row has by them. */
  fitted: Float64Array;
  weights: Float64Array;
  /** The unit of each row, and the stratum of each unit: units are compared with those of their own stratum. */
  unitOf: readonly number[];
  stratumOf: readonly number[];
}

/**
 * Difference of weighted means with an interval from its standard error by units, for thousands of rows: how much each
 * row moves the difference, once by itself and once by the weights, whose fit it moves, is added up by unit, and the
 * variance is that of these sums within strata (linearisation with clusters: Lunceford & Davidian 2004, Stat. Med. 23:2937;
 * Binder 1983, Int. Stat. Rev. 51:279). What it leaves out falls with the number of rows, and many draws of units would only
 * add their own scatter. Student's t with the given degrees of freedom.
 */
export function linearisedDifference(
  compared: WeightedComparison,
  degrees: number,
  level = 0.95,
): ResampledFigure | null {
  const { first, unitOf, stratumOf } = compared;
  const { estimate, byRow } = influences(compared);
  if (!Number.isFinite(estimate) || !(degrees >= 1)) return null;
  const byUnit = new Float64Array(stratumOf.length);
  for (let row = 0; row < first.length; row++) byUnit[unitOf[row]!]! += byRow[row]!;
  const half = studentQuantile(0.5 + level / 2, degrees) * Math.sqrt(varianceOfSum(byUnit, stratumOf));
  return { estimate, low: estimate - half, high: estimate + half };
}

/** The difference, and how much it moves when a row counts once more. */
function influences({ design, first, outcome, fitted, weights }: WeightedComparison) {
  const { rows, width, values } = design;
  const { means, totals } = weightedMeans(outcome, first, weights);
  const byRow = new Float64Array(rows);
  const direction = new Float64Array(width);
  for (let row = 0; row < rows; row++) {
    const group = first[row] ? 0 : 1;
    const off = (outcome[row]! - means[group]) / totals[group];
    byRow[row] = (group === 0 ? 1 : -1) * weights[row]! * off;
    // More likely in the first group: less weight in the first, more in the second; both lower the difference.
    const slope = weights[row]! * (1 - weights[row]!) * off;
    for (let j = 0; j < width; j++) direction[j]! -= slope * values[row * width + j]!;
  }
  const moves = movesAlong(design, first, fitted, direction);
  for (let row = 0; row < rows; row++) byRow[row]! += moves[row]!;
  return { estimate: means[0] - means[1], byRow };
}

/** Variance of the sum over units that are drawn within strata; a stratum of one unit has none of its own. */
function varianceOfSum(byUnit: Float64Array, stratumOf: readonly number[]): number {
  const strata = new Map<number, { count: number; sum: number; squares: number }>();
  byUnit.forEach((value, unit) => {
    const own = strata.get(stratumOf[unit]!) ?? { count: 0, sum: 0, squares: 0 };
    own.count++;
    own.sum += value;
    own.squares += value * value;
    strata.set(stratumOf[unit]!, own);
  });
  let variance = 0;
  for (const { count, sum, squares } of strata.values())
    if (count > 1) variance += (count / (count - 1)) * Math.max(0, squares - sum ** 2 / count);
  return variance;
}
