import { describe, expect, it } from 'vitest';
import { isSurelyPositive, propagated } from './estimate.js';

describe('uncertainty through a function', () => {
  it('adds in squares for independent inputs (JCGM 100:2008, 5.1.2)', () => {
    // Closed form: u(3 a - 4 b) = sqrt((3 0.1)^2 + (4 0.1)^2) = 0.5.
    const sum = propagated(
      [
        { value: 2, uncertainty: 0.1 },
        { value: 1, uncertainty: 0.1 },
      ],
      ([a, b]) => 3 * a - 4 * b,
    )!;
    expect(sum.value).toBeCloseTo(2, 12);
    expect(sum.uncertainty).toBeCloseTo(0.5, 12);
  });

  it('is as large as the value where a step leads out of what can be worked out', () => {
    const root = propagated([{ value: 1, uncertainty: 2 }], ([a]) => Math.sqrt(a))!;
    expect(root).toEqual({ value: 1, uncertainty: 1 });
  });

  it('has no result where there is no value', () => {
    expect(propagated([{ value: -1, uncertainty: 0.1 }], ([a]) => Math.sqrt(a))).toBeNull();
  });

  it('leaves an estimate surely positive beyond two standard uncertainties only', () => {
    expect(isSurelyPositive({ value: 2.01, uncertainty: 1 })).toBe(true);
    expect(isSurelyPositive({ value: 2, uncertainty: 1 })).toBe(false);
    expect(isSurelyPositive({ value: -9, uncertainty: 1 })).toBe(false);
  });
});
