import { describe, expect, it } from 'vitest';
import { dot, extendBasis, projectOut } from './projection.js';

describe('orthogonal projection', () => {
  const basis: Float64Array[] = [];
  extendBasis(basis, Float64Array.of(1, 1, 1, 1));
  extendBasis(basis, Float64Array.of(0, 1, 2, 3));

  it('the basis is orthonormal', () => {
    expect(dot(basis[0]!, basis[1]!)).toBeCloseTo(0, 14);
    for (const unit of basis) expect(dot(unit, unit)).toBeCloseTo(1, 14);
  });

  it('what is left of a column is orthogonal to the basis, and of a straight line it is nothing', () => {
    const rest = projectOut(basis, Float64Array.of(4, -1, 0, 7));
    for (const unit of basis) expect(dot(rest, unit)).toBeCloseTo(0, 13);
    projectOut(basis, Float64Array.of(5, 3, 1, -1)).forEach((value) => expect(value).toBeCloseTo(0, 13));
  });

  it('a column within the span adds no direction', () => {
    extendBasis(basis, Float64Array.of(2, 5, 8, 11));
    expect(basis).toHaveLength(2);
  });
});
