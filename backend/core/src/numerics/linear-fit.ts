import { dot } from './right-angles.js';

/** Least-squares solution with the covariance of its coefficients; `null` where the columns do not tell them apart. */
export interface LinearFit {
  coefficients: Float64Array;
  /** Unscaled inverse of the normal matrix, rows one after the other; times `residualVariance` it is the covariance. */
  inverse: Float64Array;
  residualVariance: number;
  degreesOfFreedom: number;
}

/**
 * Weighted least squares y = sum_j b_j x_j by normal equations with columns scaled to unit length, for a handful of
 * columns. `prior` adds one pseudo-observation per entry: coefficient `index` near `mean` with `precision`
 * (in units of the weights), which is ridge regression towards that mean.
 */
export function fitLinear(
  columns: readonly Float64Array[],
  y: Float64Array,
  weights: Float64Array | null = null,
  prior: readonly { index: number; mean: number; precision: number }[] = [],
): LinearFit | null {
  const p = columns.length;
  const n = y.length;
  const normal = new Float64Array(p * p);
  const right = new Float64Array(p);
  const weighted = weights ? new Float64Array(n) : null;
  const against = [...columns, y];
  const sums = new Float64Array(p + 1);
  for (let a = 0; a < p; a++) {
    let xa = columns[a]!;
    if (weights && weighted) {
      for (let i = 0; i < n; i++) weighted[i] = weights[i]! * xa[i]!;
      xa = weighted;
    }
    sumsOfProducts(xa, against, a, sums);
    for (let b = a; b < p; b++) normal[a * p + b] = normal[b * p + a] = sums[b]!;
    right[a] = sums[p]!;
  }
  for (const { index, mean, precision } of prior) {
    normal[index * p + index]! += precision;
    right[index]! += precision * mean;
  }
  const inverse = invertSymmetric(normal, p);
  if (!inverse) return null;
  const coefficients = new Float64Array(p);
  for (let i = 0; i < p; i++) for (let j = 0; j < p; j++) coefficients[i]! += inverse[i * p + j]! * right[j]!;

  const residual = residuals(columns, coefficients, y);
  let squares = 0;
  for (let i = 0; i < n; i++) squares += (weights ? weights[i]! : 1) * residual[i]! * residual[i]!;
  const degreesOfFreedom = n - p + prior.length;
  return {
    coefficients,
    inverse,
    residualVariance: degreesOfFreedom > 0 ? squares / degreesOfFreedom : NaN,
    degreesOfFreedom,
  };
}

/**
 * Products of x with each column from a place on, summed: three columns at a time, since the additions of one sum wait
 * for each other and those of three do not (measured: half the time for 400 rows).
 */
function sumsOfProducts(
  x: Float64Array,
  columns: readonly Float64Array[],
  from: number,
  out: Float64Array,
): void {
  const n = x.length;
  let c = from;
  for (; c + 2 < columns.length; c += 3) {
    const first = columns[c]!;
    const second = columns[c + 1]!;
    const third = columns[c + 2]!;
    let sum0 = 0;
    let sum1 = 0;
    let sum2 = 0;
    for (let i = 0; i < n; i++) {
      const each = x[i]!;
      sum0 += each * first[i]!;
      sum1 += each * second[i]!;
      sum2 += each * third[i]!;
    }
    out[c] = sum0;
    out[c + 1] = sum1;
    out[c + 2] = sum2;
  }
  for (; c < columns.length; c++) out[c] = dot(x, columns[c]!);
}

/** What the columns leave of y, column by column, which is how they lie in memory. */
export function residuals(
  columns: readonly Float64Array[],
  coefficients: Float64Array,
  y: Float64Array,
): Float64Array {
  const out = y.slice();
  for (let a = 0; a < columns.length; a++) {
    const column = columns[a]!;
    const coefficient = coefficients[a]!;
    for (let i = 0; i < out.length; i++) out[i]! -= coefficient * column[i]!;
  }
  return out;
}

export const standardError = (fit: LinearFit, index: number): number =>
  Math.sqrt(fit.residualVariance * fit.inverse[index * fit.coefficients.length + index]!);

/**
 * Gauss-Jordan in place on the matrix scaled to a unit diagonal, rows one after the other. A matrix of normal equations
 * needs no exchange of rows; `null` where a pivot falls under 1e-11.
 */
function invertSymmetric(matrix: Float64Array, p: number): Float64Array | null {
  const scale = new Float64Array(p);
  for (let i = 0; i < p; i++) {
    scale[i] = 1 / Math.sqrt(matrix[i * p + i]!);
    if (!Number.isFinite(scale[i])) return null;
  }
  const work = new Float64Array(p * p);
  for (let i = 0; i < p; i++)
    for (let j = 0; j < p; j++) work[i * p + j] = matrix[i * p + j]! * scale[i]! * scale[j]!;
  for (let k = 0; k < p; k++) {
    const pivot = work[k * p + k]!;
    if (!(pivot > 1e-11)) return null;
    work[k * p + k] = 1;
    for (let j = 0; j < p; j++) work[k * p + j]! /= pivot;
    for (let i = 0; i < p; i++) {
      if (i === k) continue;
      const factor = work[i * p + k]!;
      work[i * p + k] = 0;
      for (let j = 0; j < p; j++) work[i * p + j]! -= factor * work[k * p + j]!;
    }
  }
  for (let i = 0; i < p; i++) for (let j = 0; j < p; j++) work[i * p + j]! *= scale[i]! * scale[j]!;
  return work;
}
