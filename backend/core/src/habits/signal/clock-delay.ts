import { median, scaledMad } from '../../numerics/index.js';

export interface ClockDelay {
  /** By how much the signal comes after the reference, s; negative before it. */
  delay_s: number;
  /** Standard uncertainty from the scatter between changes, s. */
  uncertainty_s: number;
  changes: number;
}

const search_s = 360;
/** Half of the step that a signal is compared with, s. */
const arm_s = 60;
const fewestChanges = 2;

/**
 * Delay of a signal against times at which it must move: starts, stops and load steps.
 *
 * Around each, the signal is cross-correlated with a step (the mean of the minute after less that of the minute before);
 * the lag of the largest correlation is the time at which it moved. The delay is the median over the changes, its
 * uncertainty their scaled median absolute deviation over the root of their number. A change at which the signal moves
 * by less than three times its scatter, or not mostly there, is not counted; under two changes nothing is said.
 *
 * Valid where the quantity answers at once, as pressures and valve openings do; a lag of its own adds to the delay.
 */
export function clockDelay(
  time_s: ArrayLike<number>,
  values: ArrayLike<number>,
  changes_s: readonly number[],
): ClockDelay | null {
  const delays: number[] = [];
  let from = 0;
  let previous_s = -Infinity;
  for (const change_s of changes_s) {
    if (change_s - previous_s < 2 * search_s) {
      previous_s = change_s;
      continue;
    }
    previous_s = change_s;
    while (from < values.length && time_s[from] < change_s - search_s - arm_s) from++;
    const moved = moveAround(time_s, values, from, change_s);
    if (moved !== null) delays.push(moved);
  }
  if (delays.length < fewestChanges) return null;
  const delay_s = median(delays);
  const uncertainty_s = scaledMad(delays, delay_s) / Math.sqrt(delays.length);
  return { delay_s, uncertainty_s, changes: delays.length };
}

function moveAround(
  time_s: ArrayLike<number>,
  values: ArrayLike<number>,
  from: number,
  change_s: number,
): number | null {
  const at: number[] = [];
  for (let i = from; i < values.length && time_s[i] <= change_s + search_s + arm_s; i++)
    if (Number.isFinite(values[i])) at.push(i);
  if (at.length < 20) return null;
  let best = 0;
  let best_s = NaN;
  const sizes: number[] = [];
  for (let k = 1; k < at.length; k++) {
    const middle_s = 0.5 * (time_s[at[k]] + time_s[at[k - 1]]);
    if (Math.abs(middle_s - change_s) > search_s) continue;
    const size = meanOf(time_s, values, at, k, arm_s) - meanOf(time_s, values, at, k, -arm_s);
    if (!Number.isFinite(size)) continue;
    sizes.push(Math.abs(size));
    if (Math.abs(size) > best) {
      best = Math.abs(size);
      best_s = middle_s;
    }
  }
  if (sizes.length < 10 || !(best > 3 * median(sizes)) || best === 0) return null;
  return best_s - change_s;
}

/** Mean over an arm to one side of the place between the (k-1)-th and the k-th sample. */
function meanOf(
  time_s: ArrayLike<number>,
  values: ArrayLike<number>,
  at: number[],
  k: number,
  arm: number,
): number {
  let sum = 0;
  let count = 0;
  const step = arm > 0 ? 1 : -1;
  const start = arm > 0 ? k : k - 1;
  for (let j = start; j >= 0 && j < at.length; j += step) {
    if (Math.abs(time_s[at[j]] - time_s[at[start]]) > Math.abs(arm)) break;
    sum += values[at[j]];
    count++;
  }
  return count > 0 ? sum / count : NaN;
}
