/** Least-squares solution with the covariance of its coefficients; `null` where the columns do not tell them apart. */
export interface LinearFit {
  coefficients: number[];
  /** Unscaled inverse of the normal matrix; times `residualVariance` it is the covariance. */
  inverse: number[][];
  residualVariance: number;
  degreesOfFreedom: number;
}

/**
 * Weighted least squares y = sum_j b_j x_j by normal equations with columns scaled to unit length, for a handful of
 * columns. `prior` adds one pseudo-observation per entry: coefficient `index` near `mean` with `precision`
 * (in units of the weights), which is ridge regression towards that mean.
 */
export function fitLinear(
  columns: readonly ArrayLike<number>[],
  y: ArrayLike<number>,
  weights: ArrayLike<number> | null = null,
  prior: readonly { index: number; mean: number; precision: number }[] = [],
): LinearFit | null {
  const p = columns.length;
  const n = y.length;
  const normal: number[][] = Array.from({ length: p }, () => new Array<number>(p).fill(0));
  const right = new Array<number>(p).fill(0);
  for (let a = 0; a < p; a++) {
    const xa = columns[a]!;
    for (let b = a; b < p; b++) {
      const xb = columns[b]!;
      let sum = 0;
      if (weights) for (let i = 0; i < n; i++) sum += weights[i]! * xa[i]! * xb[i]!;
      else for (let i = 0; i < n; i++) sum += xa[i]! * xb[i]!;
      normal[a]![b] = sum;
      normal[b]![a] = sum;
    }
    let sum = 0;
    if (weights) for (let i = 0; i < n; i++) sum += weights[i]! * xa[i]! * y[i]!;
    else for (let i = 0; i < n; i++) sum += xa[i]! * y[i]!;
    right[a] = sum;
  }
  for (const { index, mean, precision } of prior) {
    normal[index]![index]! += precision;
    right[index]! += precision * mean;
  }
  const inverse = invertSymmetric(normal);
  if (!inverse) return null;
  const coefficients = inverse.map((row) => row.reduce((sum, value, j) => sum + value * right[j]!, 0));

  let squares = 0;
  for (let i = 0; i < n; i++) {
    let residual = y[i]!;
    for (let a = 0; a < p; a++) residual -= coefficients[a]! * columns[a]![i]!;
    squares += (weights ? weights[i]! : 1) * residual * residual;
  }
  const degreesOfFreedom = n - p + prior.length;
  return {
    coefficients,
    inverse,
    residualVariance: degreesOfFreedom > 0 ? squares / degreesOfFreedom : NaN,
    degreesOfFreedom,
  };
}

export const standardError = (fit: LinearFit, index: number): number =>
  Math.sqrt(fit.residualVariance * fit.inverse[index]![index]!);

/** Gauss-Jordan on the matrix scaled to a unit diagonal; `null` where a pivot falls under 1e-11. */
function invertSymmetric(matrix: number[][]): number[][] | null {
  const p = matrix.length;
  const scale = matrix.map((row, i) => 1 / Math.sqrt(row[i]!));
  if (scale.some((value) => !Number.isFinite(value))) return null;
  const work = matrix.map((row, i) => [
    ...row.map((value, j) => value * scale[i]! * scale[j]!),
    ...Array.from({ length: p }, (_, j) => (i === j ? 1 : 0)),
  ]);
  for (let column = 0; column < p; column++) {
    let pivot = column;
    for (let i = column + 1; i < p; i++) {
      if (Math.abs(work[i]![column]!) > Math.abs(work[pivot]![column]!)) pivot = i;
    }
    const value = work[pivot]![column]!;
    if (!(Math.abs(value) > 1e-11)) return null;
    [work[column], work[pivot]] = [work[pivot]!, work[column]!];
    const row = work[column]!;
    for (let j = 0; j < 2 * p; j++) row[j]! /= value;
    for (let i = 0; i < p; i++) {
      if (i === column) continue;
      const factor = work[i]![column]!;
      if (factor === 0) continue;
      for (let j = 0; j < 2 * p; j++) work[i]![j]! -= factor * row[j]!;
    }
  }
  return work.map((row, i) => row.slice(p).map((value, j) => value * scale[i]! * scale[j]!));
}
