/**
 * Uniform cubic B-splines: value and slope everywhere, second derivative continuous, one coefficient per node
 * (de Boor, A Practical Guide to Splines, 1978). A spline of n pieces over [low, high] has n + 3 coefficients.
 */

/**
 * Turns B-spline coefficients into four polynomial coefficients per piece, in the piece's own coordinate 0..1, so that
 * a value costs three multiplications.
 */
export function piecesFromCoefficients(coefficients: Float64Array): Float64Array {
  const pieces = coefficients.length - 3;
  const out = new Float64Array(4 * pieces);
  let a = coefficients[0];
  let b = coefficients[1];
  let c = coefficients[2];
  for (let i = 0, k = 0; i < pieces; i++) {
    const d = coefficients[i + 3];
    out[k++] = (a + 4 * b + c) / 6;
    out[k++] = (c - a) / 2;
    out[k++] = (a - 2 * b + c) / 2;
    out[k++] = (d - a + 3 * (b - c)) / 6;
    a = b;
    b = c;
    c = d;
  }
  return out;
}

/** Value at `t`, counted in pieces from the low end (0 .. number of pieces); the ends continue their own piece. */
export function pieceValue(pieces: Float64Array, t: number): number {
  const last = pieces.length / 4 - 1;
  let i = t | 0;
  if (i > last) i = last;
  const u = t - i;
  const k = 4 * i;
  return pieces[k] + u * (pieces[k + 1] + u * (pieces[k + 2] + u * pieces[k + 3]));
}

/** Slope per piece at `t`; divide by the width of a piece for the derivative. */
export function pieceSlope(pieces: Float64Array, t: number): number {
  const last = pieces.length / 4 - 1;
  let i = t | 0;
  if (i > last) i = last;
  const u = t - i;
  const k = 4 * i;
  return pieces[k + 1] + u * (2 * pieces[k + 2] + u * 3 * pieces[k + 3]);
}

/**
 * Tensor-product spline: value at (`s`, `t`), both counted in pieces. `coefficients` is row-major with
 * `columns` = pieces along t + 3; the row index belongs to s.
 */
export function surfaceValue(coefficients: Float32Array, columns: number, s: number, t: number): number {
  const lastRow = coefficients.length / columns - 4;
  let i = s | 0;
  if (i > lastRow) i = lastRow;
  let j = t | 0;
  if (j > columns - 4) j = columns - 4;
  const v = t - j;
  const w = 1 - v;
  const v0 = (w * w * w) / 6;
  const v1 = (v * v * (3 * v - 6) + 4) / 6;
  const v2 = (v * (v * (3 - 3 * v) + 3) + 1) / 6;
  const v3 = (v * v * v) / 6;
  let k = i * columns + j;
  const r0 =
    v0 * coefficients[k] + v1 * coefficients[k + 1] + v2 * coefficients[k + 2] + v3 * coefficients[k + 3];
  k += columns;
  const r1 =
    v0 * coefficients[k] + v1 * coefficients[k + 1] + v2 * coefficients[k + 2] + v3 * coefficients[k + 3];
  k += columns;
  const r2 =
    v0 * coefficients[k] + v1 * coefficients[k + 1] + v2 * coefficients[k + 2] + v3 * coefficients[k + 3];
  k += columns;
  const r3 =
    v0 * coefficients[k] + v1 * coefficients[k + 1] + v2 * coefficients[k + 2] + v3 * coefficients[k + 3];
  const u = s - i;
  const z = 1 - u;
  return (
    (z * z * z * r0 +
      (u * u * (3 * u - 6) + 4) * r1 +
      (u * (u * (3 - 3 * u) + 3) + 1) * r2 +
      u * u * u * r3) /
    6
  );
}
