import type { NormalisedTests } from '../ageing/index.js';
import { medianInPlace } from '../../numerics/index.js';

export interface ReservePoint {
  time_s: number;
  /** Reserve at the lowest temperature seen, from fully open. */
  reserve: number;
  /** One standard uncertainty of this one point, `null` where the curve gave none. */
  uncertainty: number | null;
  /** Tests joined into this point by their median: 1 for the last weeks, several further back. */
  tests: number;
  /** Whether any of them was a proof closing. */
  proof: boolean;
}

/** Points of the reserve's history: the last 60 tests one by one, further back in medians of at most 60 groups. */
export function historyPoints(tests: NormalisedTests, reserve: Float64Array): ReservePoint[] {
  const n = reserve.length;
  const single = Math.max(0, n - 60);
  const perGroup = Math.max(1, Math.ceil(single / 60));
  const points: ReservePoint[] = [];
  for (let from = 0; from < n;) {
    const to = from < single ? Math.min(single, from + perGroup) : from + 1;
    const count = to - from;
    const middle = (from + to - 1) >> 1;
    const test = tests.tests[middle]!;
    const value = medianInPlace(reserve.slice(from, to));
    const own =
      test.capacitanceUncertainty_F === null ? null : test.capacitanceUncertainty_F / test.capacitance_F!;
    const relative = Math.max(own ?? 0, n >= 5 ? tests.scatter : 0);
    points.push({
      time_s: test.startedAt_s,
      reserve: value,
      uncertainty: relative > 0 ? (value * relative * (count > 2 ? 1.25 : 1)) / Math.sqrt(count) : null,
      tests: count,
      proof: tests.tests.slice(from, to).some((each) => each.proof),
    });
    from = to;
  }
  return points;
}
