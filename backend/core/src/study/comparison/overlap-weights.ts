import { CholeskyDecomposition, Matrix } from 'ml-matrix';

/** Rows one after the other, `width` numbers each, the first of them 1. */
export interface Design {
  rows: number;
  width: number;
  values: Float64Array;
}

/** Keeps the fit finite where a column separates the groups; too small to move one that overlaps. */
const ridge = 1e-4;
const mostSteps = 30;

/** Columns brought to mean 0 and standard deviation 1, after a column of ones. */
export function designOf(columns: readonly Float64Array[], rows: number): Design {
  const width = columns.length + 1;
  const values = new Float64Array(rows * width);
  columns.forEach((column, place) => {
    const middle = column.reduce((sum, value) => sum + value, 0) / rows;
    const spread = Math.sqrt(column.reduce((sum, value) => sum + (value - middle) ** 2, 0) / rows) || 1;
    for (let row = 0; row < rows; row++) values[row * width + place + 1] = (column[row]! - middle) / spread;
  });
  for (let row = 0; row < rows; row++) values[row * width] = 1;
  return { rows, width, values };
}

const logistic = (x: number) => 1 / (1 + Math.exp(-x));

function linear({ width, values }: Design, coefficients: Float64Array, row: number): number {
  let sum = 0;
  for (let j = 0; j < width; j++) sum += values[row * width + j]! * coefficients[j]!;
  return sum;
}

/**
 * Probability of being in the first group given the columns: logistic regression by Newton's method, with a ridge of
 * 1e-4 a row-equivalent. `counts` says how often each row counts; `from` is where to begin.
 */
export function fitPropensity(
  design: Design,
  first: readonly boolean[],
  counts: Float64Array | null = null,
  from: Float64Array | null = null,
  steps = mostSteps,
): Float64Array {
  const { rows, width, values } = design;
  const coefficients = from?.slice() ?? new Float64Array(width);
  for (let step = 0; step < steps; step++) {
    const gradient = new Float64Array(width);
    const curvature = new Float64Array(width * width);
    for (let row = 0; row < rows; row++) {
      const count = counts?.[row] ?? 1;
      if (count === 0) continue;
      const likely = logistic(linear(design, coefficients, row));
      const off = count * (Number(first[row]) - likely);
      const weight = count * Math.max(1e-9, likely * (1 - likely));
      const at = row * width;
      for (let j = 0; j < width; j++) {
        const own = values[at + j]!;
        gradient[j]! += off * own;
        const weighted = weight * own;
        for (let k = 0; k <= j; k++) curvature[j * width + k]! += weighted * values[at + k]!;
      }
    }
    for (let j = 1; j < width; j++) gradient[j]! -= ridge * coefficients[j]!;
    const move = solved(curvature, gradient, width);
    const longest = move.reduce((most, value) => Math.max(most, Math.abs(value)), 0);
    const scale = Math.min(1, 5 / longest);
    for (let j = 0; j < width; j++) coefficients[j]! += scale * move[j]!;
    if (longest < 1e-8) break;
  }
  return coefficients;
}

function solved(lower: Float64Array, right: Float64Array, width: number): Float64Array {
  const matrix = new Matrix(width, width);
  for (let j = 0; j < width; j++)
    for (let k = 0; k <= j; k++) {
      const value = lower[j * width + k]! + (j === k ? ridge : 0);
      matrix.set(j, k, value);
      matrix.set(k, j, value);
    }
  const factors = new CholeskyDecomposition(matrix);
  return Float64Array.from(factors.solve(Matrix.columnVector(right as unknown as number[])).to1DArray());
}

/**
 * How far the fit moves when one row counts once more, to first order: `move` adds up to it along a direction d, as
 * d' H^-1 x (y - p) with the curvature H of all rows (influence function; Huber 1967, Proc. 5th Berkeley Symp. 1:221).
 */
export function movesAlong(
  design: Design,
  first: readonly boolean[],
  fitted: Float64Array,
  direction: Float64Array,
): Float64Array {
  const { rows, width, values } = design;
  const likely = Float64Array.from({ length: rows }, (_, row) => logistic(linear(design, fitted, row)));
  const curvature = new Float64Array(width * width);
  for (let row = 0; row < rows; row++) {
    const weight = Math.max(1e-9, likely[row]! * (1 - likely[row]!));
    const at = row * width;
    for (let j = 0; j < width; j++) {
      const weighted = weight * values[at + j]!;
      for (let k = 0; k <= j; k++) curvature[j * width + k]! += weighted * values[at + k]!;
    }
  }
  const along = solved(curvature, direction, width);
  return likely.map((value, row) => (Number(first[row]) - value) * linear(design, along, row));
}

/**
 * Weights that make two groups alike: each row counts by the probability of being in the other group, so that rows with
 * no counterpart count nothing and the means of all columns agree exactly (overlap weights: Li, Morgan & Zaslavsky 2018,
 * J. Am. Stat. Assoc. 113:390).
 */
export function overlapWeights(
  design: Design,
  first: readonly boolean[],
  coefficients: Float64Array,
): Float64Array {
  const weights = new Float64Array(design.rows);
  for (let row = 0; row < weights.length; row++) {
    const likely = logistic(linear(design, coefficients, row));
    weights[row] = first[row] ? 1 - likely : likely;
  }
  return weights;
}

/** As many rows of equal weight as these amount to (Kish 1965, Survey Sampling, 8.2). */
export function effectiveNumber(weights: readonly number[]): number {
  const sum = weights.reduce((total, weight) => total + weight, 0);
  return sum === 0 ? 0 : sum ** 2 / weights.reduce((total, weight) => total + weight ** 2, 0);
}
