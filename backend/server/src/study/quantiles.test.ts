import { describe, expect, it } from 'vitest';
import { cohorts, distribution, quantile } from './quantiles.js';

describe('quantile', () => {
  // COMPUTED: numpy.quantile([1, 2, 4, 8, 16], [0.1, 0.25, 0.5, 0.9]), method linear.
  it.each([
    [0.1, 1.4],
    [0.25, 2],
    [0.5, 4],
    [0.9, 12.8],
  ])('at %d is as numpy has it', (share, expected) => {
    expect(quantile([16, 1, 8, 2, 4], share)).toBeCloseTo(expected, 12);
  });

  it('of nothing is not a number made up', () => {
    expect(distribution([null, null])).toEqual({
      count: 0,
      p10: null,
      p25: null,
      p50: null,
      p75: null,
      p90: null,
      sample: [],
    });
  });
});

describe('cohorts', () => {
  it('orders sizes by their number', () => {
    expect(cohorts([{ cohort: 'kv-10' }, { cohort: 'kv-2.5' }]).map(([name]) => name)).toEqual([
      'kv-2.5',
      'kv-10',
    ]);
  });
});
