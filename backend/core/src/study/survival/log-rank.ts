import { Matrix, solve } from 'ml-matrix';
import { chiSquareProbability } from '../../numerics/index.js';
import { checkLifetimes, type Lifetime } from './lifetime.js';

export interface LogRank {
  /** Failures seen in each group, and expected if all failed alike. */
  observed: number[];
  expected: number[];
  chiSquare: number;
  degreesOfFreedom: number;
  /** Probability of so large a difference between groups that fail alike. */
  probability: number;
}

/**
 * Whether groups fail alike at equal age: observed against expected failures over all ages, with the hypergeometric
 * variance (Mantel 1966, Cancer Chemother. Rep. 50:163; late entry as in Klein & Moeschberger, Survival Analysis, 7.3).
 * Null where it cannot be told: fewer than two groups, or no failure while two groups were watched.
 */
export function logRank(groups: readonly (readonly Lifetime[])[]): LogRank | null {
  groups.forEach(checkLifetimes);
  const size = groups.length;
  if (size < 2) return null;
  const ages = [
    ...new Set(groups.flatMap((group) => group.filter(({ failed }) => failed).map(({ exit }) => exit))),
  ].sort((a, b) => a - b);
  const counters = groups.map(counter);
  const observed = new Array<number>(size).fill(0);
  const expected = new Array<number>(size).fill(0);
  const variance = Matrix.zeros(size, size);
  for (const age of ages) {
    const now = counters.map((count) => count(age));
    const atRisk = now.reduce((sum, each) => sum + each.atRisk, 0);
    const failures = now.reduce((sum, each) => sum + each.failures, 0);
    const spread = atRisk > 1 ? (failures * (atRisk - failures)) / (atRisk - 1) : 0;
    now.forEach((own, j) => {
      const share = own.atRisk / atRisk;
      observed[j]! += own.failures;
      expected[j]! += failures * share;
      now.forEach((other, k) => {
        variance.set(j, k, variance.get(j, k) + spread * share * (Number(j === k) - other.atRisk / atRisk));
      });
    });
  }
  // Groups without any part at risk beside the others' tell nothing; the last is left off, since all add up to 0.
  const told = groups.map((_, j) => j).filter((j) => variance.get(j, j) > 1e-12);
  if (told.length < 2) return null;
  const kept = told.slice(0, -1);
  const off = Matrix.columnVector(kept.map((j) => observed[j]! - expected[j]!));
  const chiSquare = off
    .transpose()
    .mmul(solve(variance.selection(kept, kept), off, true))
    .get(0, 0);
  return {
    observed,
    expected,
    chiSquare,
    degreesOfFreedom: kept.length,
    probability: 1 - chiSquareProbability(chiSquare, kept.length),
  };
}

/** Parts at risk and failures at ages asked for in ascending order. */
function counter(group: readonly Lifetime[]): (age: number) => { atRisk: number; failures: number } {
  const entries = Float64Array.from(group, ({ entry }) => entry).sort();
  const exits = Float64Array.from(group, ({ exit }) => exit).sort();
  const failed = Float64Array.from(
    group.filter((each) => each.failed),
    ({ exit }) => exit,
  ).sort();
  let [entered, left, before] = [0, 0, 0];
  return (age) => {
    while (entered < entries.length && entries[entered]! < age) entered++;
    while (left < exits.length && exits[left]! < age) left++;
    while (before < failed.length && failed[before]! < age) before++;
    let failures = 0;
    while (failed[before + failures] === age) failures++;
    return { atRisk: entered - left, failures };
  };
}
