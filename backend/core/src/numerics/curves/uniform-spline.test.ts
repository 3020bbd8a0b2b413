import { describe, expect, it } from 'vitest';
import { pieceSlope, piecesFromCoefficients, pieceValue, surfaceValue } from './uniform-spline.js';

/**
 * B-spline coefficients (knot spacing 1, first node 0) of a cubic given by its polynomial coefficients, from the
 * blossom: the coefficient at place i is the cubic's polar form at the three inner knots i, i + 1, i + 2 shifted by one
 * (de Boor 1978). Worked by hand: x -> i, x^2 -> i^2 - 1/3, x^3 -> i^3 - i.
 */
const coefficientOf = ([a, b, c, d]: number[], i: number) =>
  a! + b! * i + c! * (i * i - 1 / 3) + d! * (i ** 3 - i);
const cubic = [2, -1.5, 0.75, -0.2];
const valueOf = ([a, b, c, d]: number[], x: number) => a! + x * (b! + x * (c! + x * d!));
const slopeOf = ([, b, c, d]: number[], x: number) => b! + x * (2 * c! + x * 3 * d!);
const places = Array.from({ length: 81 }, (_, i) => i / 10);

describe('a uniform cubic spline', () => {
  const pieces = piecesFromCoefficients(
    Float64Array.from({ length: 11 }, (_, i) => coefficientOf(cubic, i - 1)),
  );

  it('is exact, with its slope, for a cubic', () => {
    for (const x of places) {
      expect(pieceValue(pieces, x)).toBeCloseTo(valueOf(cubic, x), 10);
      expect(pieceSlope(pieces, x)).toBeCloseTo(slopeOf(cubic, x), 10);
    }
  });

  it('continues its last piece a little beyond the ends', () => {
    expect(pieceValue(pieces, 8.001)).toBeCloseTo(valueOf(cubic, 8.001), 10);
    expect(pieceValue(pieces, -0.001)).toBeCloseTo(valueOf(cubic, -0.001), 10);
  });

  it('has one value and one slope where two pieces meet, whatever its coefficients', () => {
    const rough = piecesFromCoefficients(Float64Array.from({ length: 11 }, (_, i) => Math.sin(i * i)));
    for (let node = 1; node < 8; node++) {
      expect(pieceValue(rough, node - 1e-9)).toBeCloseTo(pieceValue(rough, node), 7);
      expect(pieceSlope(rough, node - 1e-9)).toBeCloseTo(pieceSlope(rough, node), 7);
    }
  });
});

describe('a surface of two uniform cubic splines', () => {
  it('is exact for the product of two cubics, to single precision', () => {
    const other = [1, 0.5, -0.3, 0.04];
    const [rows, columns] = [9, 7];
    const surface = Float32Array.from(
      { length: rows * columns },
      (_, k) => coefficientOf(cubic, Math.floor(k / columns) - 1) * coefficientOf(other, (k % columns) - 1),
    );
    for (const s of [0, 0.3, 1, 2.7, 5, 6]) {
      for (const t of [0, 0.45, 1, 3.2, 4]) {
        const exact = valueOf(cubic, s) * valueOf(other, t);
        expect(Math.abs(surfaceValue(surface, columns, s, t) - exact)).toBeLessThan(
          2e-5 * (1 + Math.abs(exact)),
        );
      }
    }
  });
});
