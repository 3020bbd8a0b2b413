import { ArgumentError } from '../../units/errors.js';

/** An iteration did not reach its tolerance; there is no result. */
export class NoConvergenceError extends Error {
  override name = 'NoConvergenceError';
}

/**
 * Root of a continuous function between two points of opposite sign, by Brent's method (R. P. Brent, Algorithms for
 * Minimization Without Derivatives, 1973, ch. 4).
 *
 * @param tolerance absolute, in the unit of the argument.
 * @throws ArgumentError when the ends do not enclose a sign change; NoConvergenceError after 100 steps.
 * @example bracketedRoot((x) => x * x - 2, 0, 2, 1e-12) // 1.414213562373
 */
export function bracketedRoot(
  f: (x: number) => number,
  low: number,
  high: number,
  tolerance: number,
): number {
  let a = low;
  let b = high;
  let fa = f(a);
  let fb = f(b);
  if (fa === 0) return a;
  if (fb === 0) return b;
  if (!(fa < 0 !== fb < 0) || Number.isNaN(fa) || Number.isNaN(fb)) {
    throw new ArgumentError('low, high', `enclose no root: f(${low}) = ${fa}, f(${high}) = ${fb}`);
  }
  let c = a;
  let fc = fa;
  let step = b - a;
  let before = step;
  for (let iteration = 0; iteration < 100; iteration++) {
    if (fb < 0 === fc < 0) {
      c = a;
      fc = fa;
      step = before = b - a;
    }
    if (Math.abs(fc) < Math.abs(fb)) {
      [a, b, c] = [b, c, b];
      [fa, fb, fc] = [fb, fc, fb];
    }
    const near = 2 * Number.EPSILON * Math.abs(b) + tolerance / 2;
    const middle = (c - b) / 2;
    if (Math.abs(middle) <= near || fb === 0) return b;
    if (Math.abs(before) < near || Math.abs(fa) <= Math.abs(fb)) {
      step = before = middle;
    } else {
      const s = fb / fa;
      let p: number;
      let q: number;
      if (a === c) {
        p = 2 * middle * s;
        q = 1 - s;
      } else {
        const r = fb / fc;
        q = fa / fc;
        p = s * (2 * middle * q * (q - r) - (b - a) * (r - 1));
        q = (q - 1) * (r - 1) * (s - 1);
      }
      if (p > 0) q = -q;
      else p = -p;
      if (2 * p < Math.min(3 * middle * q - Math.abs(near * q), Math.abs(before * q))) {
        before = step;
        step = p / q;
      } else {
        step = before = middle;
      }
    }
    a = b;
    fa = fb;
    b += Math.abs(step) > near ? step : middle > 0 ? near : -near;
    fb = f(b);
  }
  throw new NoConvergenceError(`no root within ${tolerance} between ${low} and ${high}`);
}
