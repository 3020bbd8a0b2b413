import {
  bilinearForm,
  choleskyRoot,
  innerProduct,
  inverseByRoot,
  solveByRoot,
} from '../../numerics/index.js';

/**
 * How one quantity depends on the operating point while nothing is wrong: a Bayesian linear regression with an intercept,
 * a slope per predictor, and curvature (squares and products of the first three), as plain numbers that can be stored.
 */
export interface LearnedRelation {
  coefficients: number[];
  /** Inverse of the posterior precision, row by row: times the noise variance, the coefficients' covariance. */
  inverse: number[];
  /** Scatter of one plateau about the relation, standard deviation, as seen when each was left out. */
  noise: number;
  degreesOfFreedom: number;
  plateaus: number;
}

/** A relation with what it said of each plateau that it was learned from, that plateau's neighbours left out. */
export interface RelationFit {
  relation: LearnedRelation;
  /** Left-out residual over its own predicted standard deviation; NaN where the quantity was missing. */
  leftOut: number[];
}

export interface Prediction {
  value: number;
  /** Of the mean alone: of the relation, without the scatter of a plateau. */
  relationVariance: number;
  /** Of one plateau about the mean. */
  noiseVariance: number;
}

/** Predictors that also get curvature. */
const curved = 3;
/** Weight of the usual noise against what is learned: that of two plateaus. */
const priorWeight = 2;
/** Prior standard deviations of slopes and curvature, in noise, that the evidence chooses from. */
const slopeScales = [0.5, 2, 6, 20, 60, 200];
const curvatureScales = [0.05, 0.3, 1, 3, 10, 30];
const interceptScale = 1e4;
const farOff = 2.5;
/** The two widths that the evidence chose are two degrees of freedom fewer. */
const chosen = 2;

/** Row of the design: intercept, predictors, then squares and products of the first three. */
export function basis(point: readonly number[]): number[] {
  const row = [1, ...point];
  for (const [a, b] of curvedPairs(point.length)) row.push(point[a] * point[b]);
  return row;
}

const pairsOf = Array.from({ length: curved + 1 }, (_, count) => {
  const pairs: [number, number][] = [];
  for (let a = 0; a < count; a++) for (let b = a; b < count; b++) pairs.push([a, b]);
  return pairs;
});

/** Which of so many predictors are multiplied with each other, or squared, in the order of the design. */
export const curvedPairs = (predictors: number): readonly (readonly [number, number])[] =>
  pairsOf[Math.min(curved, predictors)];

/**
 * Learns one quantity's relation to the operating point. Coefficients have normal priors about zero whose widths, one for
 * slopes and one for curvature, are those of the highest evidence (type-II maximum likelihood, e.g. Bishop 2006, section
 * 3.5): with a few plateaus the relation stays flat and uncertain, with more it bends as far as they ask for. A plateau
 * that lies over 2.5 standard deviations off counts less, the more so the farther. The noise has an inverse-gamma prior about `usual`, and is then scaled so
 * that plateaus left out with their neighbours are predicted as well as the relation says: within-sample residuals of so
 * flexible a relation would promise too much. A predictor that never moved keeps its prior slope, so that a prediction
 * away from where it stood claims little.
 *
 * @param groups Plateaus of the same number are left out together.
 * @returns null under four values.
 */
export function learnRelation(
  points: readonly (readonly number[])[],
  values: readonly number[],
  usual: number,
  groups: readonly number[],
): RelationFit | null {
  const kept = values.flatMap((value, i) =>
    Number.isFinite(value) && points[i].every(Number.isFinite) ? [i] : [],
  );
  if (kept.length < 4) return null;
  const rows = kept.map((i) => basis(points[i]));
  const y = kept.map((i) => values[i]);
  const slopes = 1 + points[kept[0]].length;
  let weights = y.map(() => 1);
  let precision: number[] = [];
  for (let round = 0; round < 2; round++) {
    precision = bestPrecision(sumsOf(rows, y, weights), slopes, usual);
    for (let again = 0; again < 4; again++) weights = weightsAbout(rows, y, weights, precision, usual);
  }
  const fit = solve(sumsOf(rows, y, weights), precision, usual);
  const own = kept.map((i) => groups[i]);
  const leftOutKept = leaveOut(rows, y, weights, precision, usual, own);
  const inflation = noiseInflation(leftOutKept, weights, fit.degreesOfFreedom, rows[0].length);
  const leftOut = values.map(() => NaN);
  kept.forEach((i, k) => (leftOut[i] = leftOutKept[k] / inflation));
  return {
    relation: {
      coefficients: fit.coefficients,
      inverse: fit.inverse,
      noise: Math.sqrt(fit.variance) * inflation,
      degreesOfFreedom: fit.degreesOfFreedom,
      plateaus: kept.length,
    },
    leftOut,
  };
}

/**
 * The same without one of the predictors, whose place in the design stays, with a slope that is known to be 0: the relation
 * knows nothing of it, and does not ask for it.
 */
export function learnRelationWithout(
  place: number,
  points: readonly (readonly number[])[],
  values: readonly number[],
  usual: number,
  groups: readonly number[],
): RelationFit | null {
  const held = points.map((point) => point.map((value, k) => (k === place ? 0 : value)));
  const fit = learnRelation(held, values, usual, groups);
  if (fit === null) return null;
  const { coefficients, inverse } = fit.relation;
  const size = coefficients.length;
  const count = points[0].length;
  const of = (term: number) =>
    term === 1 + place || (term > count && curvedPairs(count)[term - 1 - count].includes(place));
  return {
    ...fit,
    relation: {
      ...fit.relation,
      coefficients: coefficients.map((value, term) => (of(term) ? 0 : value)),
      inverse: inverse.map((value, k) => (of(k % size) || of(Math.floor(k / size)) ? 0 : value)),
    },
  };
}

/** What the relation expects at a point, and how well it knows. */
export function predict(relation: LearnedRelation, point: readonly number[]): Prediction {
  const row = basis(point);
  const noiseVariance = relation.noise ** 2;
  return {
    value: innerProduct(row, relation.coefficients),
    relationVariance: noiseVariance * bilinearForm(relation.inverse, row, row),
    noiseVariance,
  };
}

/** Mean row of the design over some points: a relation is linear in it, so that it gives the mean of what is expected. */
export function meanBasis(points: readonly (readonly number[])[]): number[] {
  const mean = basis(points[0]);
  for (let i = 1; i < points.length; i++) {
    const row = basis(points[i]);
    for (let k = 0; k < row.length; k++) mean[k] += row[k];
  }
  for (let k = 0; k < mean.length; k++) mean[k] /= points.length;
  return mean;
}

/** Covariance of what the relation expects at two rows of the design, without the scatter of the plateaus. */
export const relationCovariance = (
  relation: LearnedRelation,
  row: readonly number[],
  other: readonly number[],
): number => relation.noise ** 2 * bilinearForm(relation.inverse, row, other);

interface Solution {
  coefficients: number[];
  inverse: number[];
  variance: number;
  degreesOfFreedom: number;
}

/** Weights that fall with how far a plateau lies off, in standard deviations of its own residual. */
function weightsAbout(
  rows: readonly number[][],
  y: readonly number[],
  weights: readonly number[],
  precision: readonly number[],
  usual: number,
): number[] {
  const fit = solve(sumsOf(rows, y, weights), precision, usual);
  return rows.map((row, i) => {
    const leverage = Math.min(0.99, weights[i] * bilinearForm(fit.inverse, row, row));
    const off =
      Math.abs(y[i] - innerProduct(row, fit.coefficients)) / Math.sqrt(fit.variance * (1 - leverage));
    return off <= farOff ? 1 : (farOff / off) ** 2;
  });
}

/** What the data say, summed once for all priors that are tried. */
interface Sums {
  /** Normal matrix, row by row; over the diagonal nothing. */
  lower: Float64Array;
  right: number[];
  squares: number;
  count: number;
}

function sumsOf(rows: readonly number[][], y: readonly number[], weights: readonly number[]): Sums {
  const size = rows[0].length;
  const lower = new Float64Array(size * size);
  const right = new Array<number>(size).fill(0);
  let squares = 0;
  let count = 0;
  for (let i = 0; i < rows.length; i++) {
    const w = weights[i];
    if (w === 0) continue;
    count += w;
    squares += w * y[i] * y[i];
    const row = rows[i];
    for (let a = 0; a < size; a++) {
      const weighted = w * row[a];
      right[a] += weighted * y[i];
      for (let b = 0; b <= a; b++) lower[a * size + b] += weighted * row[b];
    }
  }
  return { lower, right, squares, count };
}

/** Root of the posterior precision. */
function rootOf({ lower }: Sums, precision: readonly number[]): Float64Array {
  const size = precision.length;
  const posterior = lower.slice();
  for (let a = 0; a < size; a++) posterior[a * size + a] += precision[a];
  return choleskyRoot(posterior, size);
}

/** Conjugate normal-inverse-gamma regression (e.g. Bishop 2006, section 3.3). */
function solve(sums: Sums, precision: readonly number[], usual: number): Solution {
  const { right, squares, count } = sums;
  const size = precision.length;
  const inverted = inverseByRoot(rootOf(sums, precision), size);
  const coefficients = right.map((_, a) => {
    let sum = 0;
    for (let b = 0; b < size; b++) sum += inverted[a * size + b] * right[b];
    return sum;
  });
  const degreesOfFreedom = Math.max(2, priorWeight + count - chosen);
  return {
    coefficients,
    inverse: inverted,
    variance: scatterOf(coefficients, { right, squares }, usual) / degreesOfFreedom,
    degreesOfFreedom,
  };
}

/** Sum of squares about a relation, with the prior's. */
const scatterOf = (
  coefficients: readonly number[],
  { right, squares }: Pick<Sums, 'right' | 'squares'>,
  usual: number,
): number => priorWeight * usual * usual + Math.max(0, squares - innerProduct(coefficients, right));

/**
 * Logarithm of the evidence of a prior, up to a constant (e.g. Bishop 2006, section 3.3). Without the inverse that `solve`
 * works out: 26 priors are tried for each quantity.
 */
function evidenceOf(sums: Sums, precision: readonly number[], usual: number): number {
  const root = rootOf(sums, precision);
  const coefficients = solveByRoot(root, sums.right);
  const size = precision.length;
  let logDeterminant = 0;
  let logPrior = 0;
  for (let a = 0; a < size; a++) {
    logDeterminant += 2 * Math.log(root[a * size + a]);
    logPrior += Math.log(precision[a]);
  }
  const scatter = scatterOf(coefficients, sums, usual);
  return 0.5 * (logPrior - logDeterminant) - 0.5 * (priorWeight + sums.count) * Math.log(scatter);
}

/** Widths of the priors with the highest evidence. */
function bestPrecision(sums: Sums, slopes: number, usual: number): number[] {
  const of = (slope: number, bend: number) =>
    sums.right.map((_, k) => 1 / (k === 0 ? interceptScale : k < slopes ? slope : bend) ** 2);
  let best = of(slopeScales[0], curvatureScales[0]);
  let highest = -Infinity;
  for (const slope of slopeScales)
    for (const bend of curvatureScales) {
      if (bend > slope) continue;
      const evidence = evidenceOf(sums, of(slope, bend), usual);
      if (evidence > highest) {
        highest = evidence;
        best = of(slope, bend);
      }
    }
  return best;
}

/** Sums over all rows but those of a group. */
const without = (all: Sums, group: Sums): Sums => ({
  lower: all.lower.map((sum, k) => sum - group.lower[k]),
  right: all.right.map((sum, k) => sum - group.right[k]),
  squares: all.squares - group.squares,
  count: all.count - group.count,
});

/** Each residual, its group left out, over the standard deviation that the rest predicts for it. */
function leaveOut(
  rows: readonly number[][],
  y: readonly number[],
  weights: readonly number[],
  precision: readonly number[],
  usual: number,
  groups: readonly number[],
): number[] {
  const result = y.map(() => NaN);
  const all = sumsOf(rows, y, weights);
  const places = new Map<number, number[]>();
  groups.forEach((group, i) => places.set(group, [...(places.get(group) ?? []), i]));
  for (const own of places.values()) {
    const of = (from: readonly number[]) => own.map((i) => from[i]);
    const group = sumsOf(
      own.map((i) => rows[i]),
      of(y),
      of(weights),
    );
    const fit = solve(without(all, group), precision, usual);
    own.forEach((i) => {
      const variance = fit.variance * (1 + bilinearForm(fit.inverse, rows[i], rows[i]));
      result[i] = (y[i] - innerProduct(rows[i], fit.coefficients)) / Math.sqrt(variance);
    });
  }
  return result;
}

/** The noise falls to no less than this share of what the fit alone says. Judgement, no source. */
const leastInflation = 0.75;

/**
 * By how much left-out residuals scatter more than they should for Student's t, at least 1; outliers count less. From two
 * plateaus a coefficient on they can tell, too, that the machine repeats itself better than `usual`; what was expected
 * counts besides as much as there are coefficients.
 */
function noiseInflation(
  leftOut: readonly number[],
  weights: readonly number[],
  degrees: number,
  coefficients: number,
): number {
  const expected = degrees > 4 ? degrees / (degrees - 2) : 2;
  const enough = leftOut.length >= 2 * coefficients;
  let count = enough ? coefficients : 0;
  let sum = count * expected;
  leftOut.forEach((t, i) => {
    const limited = Math.min(Math.abs(t), 4);
    sum += weights[i] * limited * limited;
    count += weights[i];
  });
  return Math.max(enough ? leastInflation : 1, Math.sqrt(sum / count / expected));
}
