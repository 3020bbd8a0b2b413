import { describe, expect, it } from 'vitest';
import { jeffreysInterval } from './jeffreys.js';

describe('the Jeffreys interval', () => {
  // COMPUTED with a general-purpose library: scipy 1.17.1, stats.beta.ppf at 0.025 and 0.975 of Beta(x + 1/2, n - x + 1/2).
  it.each([
    [0, 7, 0, 0.292436],
    [2, 7, 0.064728, 0.647662],
    [7, 9, 0.456176, 0.950698],
    [5, 10, 0.223529, 0.776471],
    [9, 9, 0.76239, 1],
    [1, 1, 0.146746, 1],
    [950, 1000, 0.935172, 0.96223],
  ])('after %i in %i is from %d to %d', (successes, trials, low, high) => {
    const interval = jeffreysInterval(successes, trials);
    expect(interval.low).toBeCloseTo(low, 5);
    expect(interval.high).toBeCloseTo(high, 5);
  });

  // PUBLISHED: printed results of another library, R's `sens_spec_plus(method = "jeffreys")` in its examples of a
  // diagnostic test (sensitivity 76 of 97, specificity 4532 of 5903, positivity 1447 and 97 of 6000), to seven places.
  it.each([
    [76, 97, 0.6939848, 0.8564011],
    [4532, 5903, 0.7568436, 0.7783844],
    [1447, 6000, 0.2304688, 0.2521141],
    [97, 6000, 0.0132043, 0.0195955],
  ])('after %i in %i agrees with published results', (successes, trials, low, high) => {
    const interval = jeffreysInterval(successes, trials);
    expect(interval.low).toBeCloseTo(low, 6);
    expect(interval.high).toBeCloseTo(high, 6);
  });

  it('says nothing without a trial, and refuses counts that cannot be', () => {
    expect(jeffreysInterval(0, 0)).toEqual({ low: 0, high: 1 });
    expect(() => jeffreysInterval(3, 2)).toThrow(/successes/);
    expect(() => jeffreysInterval(0.5, 2)).toThrow(/successes/);
    expect(() => jeffreysInterval(0, -1)).toThrow(/trials/);
    expect(() => jeffreysInterval(1, 2, 1)).toThrow(/level/);
  });
});
