import { describe, expect, it } from 'vitest';
import { weightOf, withWeight } from './suspects.js';

describe('a cause that gets another probability', () => {
  it('leaves the proportions of causes that exclude it', () => {
    const weighed = withWeight(
      [
        { cause: 'valve-leaks-by', weight: 0.5 },
        { cause: 'compressor-weak', weight: 0.3 },
        { cause: 'something-else', weight: 0.2 },
      ],
      'valve-leaks-by',
      0.75,
    );
    expect(weightOf(weighed, 'valve-leaks-by')).toBe(0.75);
    expect(weightOf(weighed, 'compressor-weak')).toBeCloseTo(0.15, 9);
    expect(weightOf(weighed, 'something-else')).toBeCloseTo(0.1, 9);
  });

  it('makes none of two that are there at once surer than 1', () => {
    // 0.9 and 0.6: at least 0.5 of it beside the first, at most 0.1 without. By Jeffrey's rule, with the first at 0.45:
    const [, second] = withWeight(
      [
        { cause: 'evaporator-fouled', weight: 0.9 },
        { cause: 'condenser-fouled', weight: 0.6 },
      ],
      'evaporator-fouled',
      0.45,
    );
    expect(second!.weight).toBeCloseTo((0.1 * 0.55) / 0.1 + (0.5 * 0.45) / 0.9, 9);
  });

  it('is taken up where nothing pointed to it', () => {
    const weighed = withWeight([{ cause: 'something-else', weight: 0.8 }], 'valve-leaks-by', 0.25);
    expect(weightOf(weighed, 'valve-leaks-by')).toBe(0.25);
    expect(weightOf(weighed, 'something-else')).toBeCloseTo(0.6, 9);
  });
});
