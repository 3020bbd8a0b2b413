import { inverse, Matrix, QrDecomposition } from 'ml-matrix';
import { describe, expect, it } from 'vitest';
import { fitLinear, standardError } from './linear-fit.js';
import { normalDraws, seededRandom } from '../random/seeded-random.js';
import { filled } from '../arrays/typed-array.js';

const rows = 60;
const normal = normalDraws(seededRandom(5));
const x = filled(rows, (i) => i / rows);
const columns = [filled(rows, () => 1), x, filled(rows, (i) => x[i]! ** 2), filled(rows, (i) => x[i]! ** 3)];
const y = filled(rows, (i) => 1 - 2 * x[i]! + x[i]! ** 3 + 0.01 * normal());
const weights = filled(rows, (i) => 1 + (i % 3));

describe('linear least squares', () => {
  const fit = fitLinear(columns, y, weights)!;

  it('has the coefficients of the QR decomposition of the weighted columns', () => {
    const root = filled(rows, (i) => Math.sqrt(weights[i]!));
    const design = new Matrix(rows, columns.length);
    columns.forEach((column, j) => column.forEach((value, i) => design.set(i, j, root[i]! * value)));
    const right = Matrix.columnVector([...y].map((value, i) => root[i]! * value));
    const expected = new QrDecomposition(design).solve(right).to1DArray();
    fit.coefficients.forEach((value, j) => expect(value).toBeCloseTo(expected[j]!, 8));
    const covariance = inverse(design.transpose().mmul(design));
    columns.forEach((_, j) =>
      expect(standardError(fit, j)).toBeCloseTo(Math.sqrt(fit.residualVariance * covariance.get(j, j)), 8),
    );
  });

  it('has the scatter of the data as its residual', () => {
    // Mean of the weights is 2; 1 % scatter; a variance of 56 degrees of freedom strays by 19 % (one standard deviation).
    expect(fit.residualVariance / (2 * 0.01 ** 2)).toBeGreaterThan(0.5);
    expect(fit.residualVariance / (2 * 0.01 ** 2)).toBeLessThan(1.6);
  });

  it('holds a coefficient at its prior where the prior is far more precise than the data', () => {
    const held = fitLinear(columns, y, weights, [{ index: 1, mean: -7, precision: 1e12 }])!;
    expect(held.coefficients[1]).toBeCloseTo(-7, 6);
  });

  it('is null where two columns cannot be told apart', () => {
    expect(fitLinear([x, filled(rows, (i) => 3 * x[i]!)], y)).toBeNull();
  });
});
