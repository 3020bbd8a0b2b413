import { filled } from '../arrays/typed-array.js';

export function dot(a: Float64Array, b: Float64Array): number {
  let sum = 0;
  for (let i = 0; i < a.length; i++) sum += a[i]! * b[i]!;
  return sum;
}

/**
 * A copy of the column less its orthogonal projection on the span of an orthonormal basis, one basis vector after the
 * other (modified Gram-Schmidt).
 */
export function projectOut(basis: readonly Float64Array[], column: Float64Array): Float64Array {
  const out = column.slice();
  for (const unit of basis) {
    const along = dot(out, unit);
    for (let i = 0; i < out.length; i++) out[i]! -= along * unit[i]!;
  }
  return out;
}

/** Adds to an orthonormal basis the direction that a column has beyond its span; none where it lies within it. */
export function extendBasis(basis: Float64Array[], column: Float64Array): void {
  const rest = projectOut(basis, column);
  const length = Math.sqrt(dot(rest, rest));
  if (length > 1e-9 * Math.sqrt(dot(column, column)))
    basis.push(filled(rest.length, (i) => rest[i]! / length));
}
