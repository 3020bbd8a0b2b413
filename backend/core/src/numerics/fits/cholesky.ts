/**
 * Cholesky's decomposition of small matrices in rows of numbers, one after the other. Ours, beside that of ml-matrix: a
 * circuit's normal takes some thousand matrices of ten rows, of which that makes several objects of arrays each.
 */

/**
 * Root L of a symmetric matrix, L L' = A, row after row, with zeros over the diagonal. Of the matrix only what is on and
 * under the diagonal is read.
 *
 * @throws RangeError where the matrix is not positive definite.
 * @example choleskyRoot([4, 2, 2, 2], 2) // [2, 0, 1, 1]
 */
export function choleskyRoot(square: ArrayLike<number>, size: number): Float64Array {
  const root = new Float64Array(size * size);
  for (let j = 0; j < size; j++) {
    const row = j * size;
    let squares = 0;
    for (let k = 0; k < j; k++) {
      const other = k * size;
      let sum = 0;
      for (let i = 0; i < k; i++) sum += root[other + i]! * root[row + i]!;
      const value = (square[row + k]! - sum) / root[other + k]!;
      root[row + k] = value;
      squares += value * value;
    }
    const left = square[row + j]! - squares;
    if (!(left > 0)) throw new RangeError('The matrix is not positive definite.');
    root[row + j] = Math.sqrt(left);
  }
  return root;
}

/** Solution x of A x = right, from the root of A. */
export function solveByRoot(root: Float64Array, right: ArrayLike<number>): number[] {
  const size = right.length;
  const x = new Array<number>(size);
  for (let k = 0; k < size; k++) {
    let value = right[k]!;
    for (let i = 0; i < k; i++) value -= x[i]! * root[k * size + i]!;
    x[k] = value / root[k * size + k]!;
  }
  for (let k = size - 1; k >= 0; k--) {
    let value = x[k]!;
    for (let i = k + 1; i < size; i++) value -= x[i]! * root[i * size + k]!;
    x[k] = value / root[k * size + k]!;
  }
  return x;
}

/** Inverse of A from its root, row after row: that of the root first, then its product with itself. */
export function inverseByRoot(root: Float64Array, size: number): number[] {
  const lower = new Float64Array(size * size);
  for (let j = 0; j < size; j++) {
    lower[j * size + j] = 1 / root[j * size + j]!;
    for (let i = j + 1; i < size; i++) {
      let sum = 0;
      for (let k = j; k < i; k++) sum += root[i * size + k]! * lower[k * size + j]!;
      lower[i * size + j] = -sum / root[i * size + i]!;
    }
  }
  const inverse = new Array<number>(size * size);
  for (let a = 0; a < size; a++)
    for (let b = 0; b <= a; b++) {
      let sum = 0;
      for (let k = a; k < size; k++) sum += lower[k * size + a]! * lower[k * size + b]!;
      inverse[a * size + b] = sum;
      inverse[b * size + a] = sum;
    }
  return inverse;
}
