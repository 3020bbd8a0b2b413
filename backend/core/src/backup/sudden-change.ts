import { medianInPlace } from './robust.js';

/** A step between one test and the next: `index` is the first test after it. */
export interface Step {
  index: number;
  /** Median after less median before. */
  size: number;
  /** Tests after it up to the next step. */
  tests: number;
}

const before = 14;
const after = 7;
const fewestBefore = 4;
/** Normal scatter passes this about once in 300,000 tests on one side. */
const threshold = 4.5;

/** Scatter of one test, from the differences between neighbours, so that neither ageing nor steps count. */
export function scatterOfTests(values: ArrayLike<number>): number {
  const n = values.length;
  if (n < 3) return NaN;
  const differences = new Float64Array(n - 1);
  for (let i = 1; i < n; i++) differences[i - 1] = Math.abs(values[i]! - values[i - 1]!);
  return (1.4826 * medianInPlace(differences)) / Math.SQRT2;
}

/**
 * Steps in a series of tests: the median of up to 7 tests from a place on against that of up to 14 before it, over
 * 4.5 standard errors and over `least`. The last test alone can show a step, so that a loss is found at the very next
 * test; the one after confirms or withdraws it.
 */
export function findSteps(values: ArrayLike<number>, least: number, scatter: number): Step[] {
  const n = values.length;
  const steps: Step[] = [];
  const scratch = new Float64Array(before + after);
  let start = 0;
  const jump = (k: number): number => {
    const nBefore = Math.min(before, k - start);
    for (let i = 0; i < nBefore; i++) scratch[i] = values[k - 1 - i]!;
    const low = medianInPlace(scratch, nBefore);
    const nAfter = Math.min(after, n - k);
    for (let i = 0; i < nAfter; i++) scratch[i] = values[k + i]!;
    const size = medianInPlace(scratch, nAfter) - low;
    const error = scatter * Math.sqrt((nAfter > 2 ? 1.57 : 1) / nAfter + (nBefore > 2 ? 1.57 : 1) / nBefore);
    const limit = Math.max(least, threshold * error);
    if (!(Math.abs(size) > limit)) return NaN;
    for (let i = 0; i < Math.min(2, nAfter); i++) {
      if ((values[k + i]! - low) * Math.sign(size) < 0.6 * Math.abs(size)) return NaN;
    }
    return size;
  };
  for (let k = fewestBefore; k < n; k++) {
    let size = jump(k);
    if (Number.isNaN(size)) continue;
    let best = k;
    for (let next = k + 1; next < Math.min(n, k + 3); next++) {
      const other = jump(next);
      if (Math.abs(other) > 1.05 * Math.abs(size)) {
        best = next;
        size = other;
      }
    }
    steps.push({ index: best, size, tests: 0 });
    start = best;
    k = best + fewestBefore - 1;
  }
  steps.forEach((step, i) => (step.tests = (steps[i + 1]?.index ?? n) - step.index));
  return steps;
}
