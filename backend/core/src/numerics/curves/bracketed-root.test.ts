import { describe, expect, it } from 'vitest';
import { ArgumentError } from '../../units/index.js';
import { bracketedRoot, NoConvergenceError } from './bracketed-root.js';

describe('a bracketed root', () => {
  it.each([
    ['square root of two', (x: number) => x * x - 2, 0, 2, Math.SQRT2],
    // PUBLISHED: OEIS A003957, the fixed point of the cosine.
    ['fixed point of the cosine', (x: number) => Math.cos(x) - x, 0, 1, 0.7390851332151607],
    // PUBLISHED: OEIS A030178, the omega constant, x e^x = 1.
    ['omega constant', (x: number) => x * Math.exp(x) - 1, 0, 1, 0.5671432904097838],
    ['root of a falling function', (x: number) => 5 - x, 0, 8, 5],
  ] as const)('%s is found', (_, f, low, high, root) => {
    expect(bracketedRoot(f, low, high, 1e-12)).toBeCloseTo(root, 10);
  });

  it('at an end is that end', () => {
    expect(bracketedRoot((x) => x, 0, 1, 1e-9)).toBe(0);
    expect(bracketedRoot((x) => x - 1, 0, 1, 1e-9)).toBe(1);
  });

  it('that a hundred steps do not reach is an error, not the last guess (scipy 1.17.1 brentq needs 125 for it)', () => {
    expect(() => bracketedRoot((x) => (x - 1) ** 3, 0, 3, 1e-12)).toThrow(NoConvergenceError);
  });

  it('needs few evaluations for a smooth function', () => {
    let calls = 0;
    bracketedRoot((x) => (calls++, Math.exp(x) - 2), 0, 1, 1e-12);
    expect(calls).toBeLessThan(15);
  });

  it('is refused without a change of sign, and for a function without a value', () => {
    expect(() => bracketedRoot((x) => x * x + 1, -1, 1, 1e-9)).toThrow(ArgumentError);
    expect(() => bracketedRoot(() => NaN, -1, 1, 1e-9)).toThrow(ArgumentError);
  });
});
