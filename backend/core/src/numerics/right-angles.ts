import { filled } from './robust.js';

export function dot(a: Float64Array, b: Float64Array): number {
  let sum = 0;
  for (let i = 0; i < a.length; i++) sum += a[i]! * b[i]!;
  return sum;
}

/** A copy of the column without its part along a basis of unit vectors (modified Gram-Schmidt). */
export function takeOut(basis: readonly Float64Array[], column: Float64Array): Float64Array {
  const out = column.slice();
  for (const unit of basis) {
    const along = dot(out, unit);
    for (let i = 0; i < out.length; i++) out[i]! -= along * unit[i]!;
  }
  return out;
}

/** Adds what a column has beyond the basis to it, at unit length; a column that has nothing beyond is not added. */
export function addTo(basis: Float64Array[], column: Float64Array): void {
  const rest = takeOut(basis, column);
  const length = Math.sqrt(dot(rest, rest));
  if (length > 1e-9 * Math.sqrt(dot(column, column)))
    basis.push(filled(rest.length, (i) => rest[i]! / length));
}
