import { CholeskyDecomposition, inverse, Matrix } from 'ml-matrix';
import { describe, expect, it } from 'vitest';
import { normalDraws, seededRandom } from '../index.js';
import { choleskyRoot, inverseByRoot, solveByRoot } from './cholesky.js';

/** A positive definite matrix of so many rows: the product of drawn numbers with themselves, and a little more. */
function drawn(size: number): Matrix {
  const random = normalDraws(seededRandom(size));
  const rows = Matrix.zeros(size, size + 2);
  for (let a = 0; a < size; a++) for (let b = 0; b < size + 2; b++) rows.set(a, b, random());
  return rows.mmul(rows.transpose());
}

describe('the root of a small matrix', () => {
  it('is that of ml-matrix, as are solution and inverse', () => {
    for (const size of [1, 2, 5, 11]) {
      const matrix = drawn(size);
      const right = matrix.getColumn(0).map((value, k) => value + k);
      const root = choleskyRoot(matrix.to1DArray(), size);
      const reference = new CholeskyDecomposition(matrix);
      const differs = (one: ArrayLike<number>, other: readonly number[]) =>
        Math.max(...other.map((value, k) => Math.abs(value - one[k]) / Math.max(1, Math.abs(value))));
      expect(differs(root, reference.lowerTriangularMatrix.to1DArray())).toBeLessThan(1e-12);
      expect(
        differs(solveByRoot(root, right), reference.solve(Matrix.columnVector(right)).to1DArray()),
      ).toBeLessThan(1e-8);
      expect(differs(inverseByRoot(root, size), inverse(matrix).to1DArray())).toBeLessThan(1e-8);
    }
  });
  it('does not exist where the matrix is not positive definite', () => {
    expect(() => choleskyRoot([1, 2, 2, 1], 2)).toThrow(RangeError);
    expect(() => choleskyRoot([NaN], 1)).toThrow(RangeError);
  });
});
