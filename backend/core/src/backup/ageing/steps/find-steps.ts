import { medianInPlace } from '../../../numerics/index.js';

/** A step between one test and the next: `index` is the first test after it. */
export interface Step {
  index: number;
  /** Level after it less the line through the tests before it. */
  size: number;
  /** One standard error of the size. */
  uncertainty: number;
  /** Tests after it up to the next step. */
  tests: number;
}

const before = 28;
const after = 7;
const fewestBefore = 6;
/** Further back, ageing and seasons bend the line. */
const longestBefore_s = 90 * 86400;
/**
 * In standard errors. Normal scatter passes the first about once in 37,000 tests: one test more will withdraw it. A
 * step that several tests confirm stays said for long, so it must be plainer for its many tests than a single one.
 */
const thresholdOfOne = 4.2;
const thresholdOfMore = 5;

/** Scatter of one test, from the differences between neighbours, so that neither ageing nor steps count. */
export function scatterOfTests(values: ArrayLike<number>): number {
  const n = values.length;
  if (n < 3) return NaN;
  const differences = new Float64Array(n - 1);
  for (let i = 1; i < n; i++) differences[i - 1] = Math.abs(values[i]! - values[i - 1]!);
  return (1.4826 * medianInPlace(differences)) / Math.SQRT2;
}

/** Line through the tests before a place, by test number counted back from it, outliers left out once. */
function lineBefore(
  values: ArrayLike<number>,
  time_s: ArrayLike<number>,
  start: number,
  k: number,
  scatter: number,
) {
  let from = Math.max(start, k - before);
  while (k - from > fewestBefore && time_s[k]! - time_s[from]! > longestBefore_s) from++;
  let level = 0;
  let slope = 0;
  let count = 0;
  let centre = 0;
  let spreadX = 0;
  for (let round = 0; round < 2; round++) {
    let n = 0;
    let sx = 0;
    let sy = 0;
    for (let i = from; i < k; i++) {
      if (round === 1 && Math.abs(values[i]! - level - slope * (i - k)) > 4 * scatter) continue;
      n++;
      sx += i - k;
      sy += values[i]!;
    }
    if (n < 3) break;
    const mx = sx / n;
    const my = sy / n;
    let sxx = 0;
    let sxy = 0;
    for (let i = from; i < k; i++) {
      if (round === 1 && Math.abs(values[i]! - level - slope * (i - k)) > 4 * scatter) continue;
      sxx += (i - k - mx) ** 2;
      sxy += (i - k - mx) * (values[i]! - my);
    }
    slope = sxx > 0 ? sxy / sxx : 0;
    level = my - slope * mx;
    const same = n === count;
    count = n;
    centre = mx;
    spreadX = sxx > 0 ? sxx : Infinity;
    if (same) break;
  }
  return {
    at: (x: number) => level + slope * x,
    variance: (x: number) => scatter * scatter * (1 / Math.max(1, count) + (x - centre) ** 2 / spreadX),
  };
}

/**
 * Steps in a series of tests: up to 7 tests from a place on against the line through up to 28 before it, by over 4.2 (one test)
 * or 5 standard errors and over `least`. The last test alone can show a step, so that a loss is found at the very next
 * test; the one after confirms or withdraws it.
 */
export function findSteps(
  values: ArrayLike<number>,
  time_s: ArrayLike<number>,
  least: number,
  scatter: number,
): Step[] {
  const n = values.length;
  const steps: Step[] = [];
  const scratch = new Float64Array(after);
  let start = 0;
  const jump = (k: number): { size: number; uncertainty: number } | null => {
    // Most places do not differ from the three tests before them and need no line.
    const near = (values[k - 1]! + values[k - 2]! + values[k - 3]!) / 3;
    if (Math.abs(values[k]! - near) < 0.4 * Math.max(least, thresholdOfOne * scatter)) return null;
    const line = lineBefore(values, time_s, start, k, scatter);
    const count = Math.min(after, n - k);
    for (let i = 0; i < count; i++) scratch[i] = values[k + i]! - line.at(i);
    const first = scratch[0]!;
    const second = count > 1 ? scratch[1]! : first;
    const size = medianInPlace(scratch, count);
    const uncertainty = Math.sqrt(
      (scatter * scatter * (count > 2 ? 1.57 : 1)) / count + line.variance((count - 1) / 2),
    );
    if (!(Math.abs(size) > Math.max(least, (count === 1 ? thresholdOfOne : thresholdOfMore) * uncertainty)))
      return null;
    const sign = Math.sign(size);
    if (first * sign < 0.6 * Math.abs(size) || second * sign < 0.6 * Math.abs(size)) return null;
    return { size, uncertainty };
  };
  for (let k = fewestBefore; k < n; k++) {
    let found = jump(k);
    if (!found) continue;
    let best = k;
    for (let next = k + 1; next < Math.min(n, k + 3); next++) {
      const other = jump(next);
      if (other && Math.abs(other.size) > 1.05 * Math.abs(found.size)) {
        best = next;
        found = other;
      }
    }
    steps.push({ index: best, ...found, tests: 0 });
    start = best;
    k = best + fewestBefore - 1;
  }
  steps.forEach((step, i) => (step.tests = (steps[i + 1]?.index ?? n) - step.index));
  return steps;
}
