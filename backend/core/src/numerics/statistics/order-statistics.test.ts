import { describe, expect, it } from 'vitest';
import {
  median,
  medianInPlace,
  quantileInPlace,
  quantileSorted,
  quantilesInPlace,
  scaledMad,
  sortedFinite,
} from './order-statistics.js';
import { seededRandom } from '../random/seeded-random.js';

describe('order statistics', () => {
  // COMPUTED: numpy.quantile([1, 2, 4, 8, 16], ...), method linear.
  it.each([
    [0.1, 1.4],
    [0.25, 2],
    [0.5, 4],
    [0.9, 12.8],
  ])('the quantile at %d interpolates between order statistics', (fraction, expected) => {
    expect(quantileSorted([1, 2, 4, 8, 16], fraction)).toBeCloseTo(expected, 12);
    expect(quantileInPlace(Float64Array.of(8, 1, 16, 4, 2), fraction)).toBeCloseTo(expected, 12);
  });

  it('a quantile between a finite and an infinite value is the nearer of the two', () => {
    expect(quantileSorted([1, 2, Infinity], 0.74)).toBe(2);
    expect(quantileSorted([1, 2, Infinity], 0.76)).toBe(Infinity);
    expect(quantileSorted([1, Infinity, Infinity], 1)).toBe(Infinity);
    expect(quantileSorted([], 0.5)).toBeNaN();
  });

  it('the median by selection is that of the sorted values', () => {
    const random = seededRandom(1);
    for (let n = 1; n <= 60; n++) {
      // Few different values, so that there are ties.
      const values = Float64Array.from({ length: n }, () => Math.floor(10 * random()));
      const sorted = values.slice().sort();
      const expected = (sorted[(n - 1) >> 1]! + sorted[n >> 1]!) / 2;
      expect(medianInPlace(values.slice())).toBe(expected);
      expect(median(values)).toBe(expected);
    }
  });

  it('several quantiles at once are those of the sorted values, in any order and for equal places', () => {
    const random = seededRandom(2);
    for (let n = 1; n <= 60; n++) {
      const values = Float64Array.from({ length: n }, () => Math.floor(20 * random()));
      const sorted = values.slice().sort();
      const fractions = [0.05, 0.5, 0.01, 0.5, 1, 0, 0.051];
      expect(quantilesInPlace(values.slice(), fractions)).toEqual(
        fractions.map((fraction) => quantileSorted(sorted, fraction)),
      );
    }
    expect(quantilesInPlace(new Float64Array(0), [0.5])).toEqual([NaN]);
  });

  it('values that are not finite do not count', () => {
    expect(median([3, NaN, 1, Infinity, 2])).toBe(2);
    expect(median([])).toBeNaN();
    expect([...sortedFinite([3, NaN, 1, -Infinity])]).toEqual([1, 3]);
  });

  // COMPUTED: scipy.stats.median_abs_deviation([1, 2, 3, 4, 100], scale='normal') = 1.482602 (the median deviation is 1).
  it('the scaled median absolute deviation is blind to one outlier in five', () => {
    expect(scaledMad([1, 2, 3, 4, 100])).toBeCloseTo(1.4826, 4);
  });
});
