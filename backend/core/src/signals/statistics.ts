/** Sorted copy of the finite values. */
export function sortedFinite(values: ArrayLike<number>): Float64Array {
  const kept = new Float64Array(values.length);
  let count = 0;
  for (let i = 0; i < values.length; i++) if (Number.isFinite(values[i])) kept[count++] = values[i];
  return kept.subarray(0, count).sort();
}

/** Quantile of ascending values with linear interpolation between order statistics (Hyndman & Fan 1996, type 7). NaN when empty. */
export function quantileSorted(sorted: ArrayLike<number>, share: number): number {
  const n = sorted.length;
  if (n === 0) return NaN;
  const position = Math.min(Math.max(share, 0), 1) * (n - 1);
  const below = Math.floor(position);
  const above = Math.min(below + 1, n - 1);
  return sorted[below] + (position - below) * (sorted[above] - sorted[below]);
}

export const median = (values: ArrayLike<number>): number => quantileSorted(sortedFinite(values), 0.5);

/** Mean of the finite values; NaN when there is none. */
export function mean(values: ArrayLike<number>): number {
  let sum = 0;
  let count = 0;
  for (let i = 0; i < values.length; i++) {
    if (!Number.isFinite(values[i])) continue;
    sum += values[i];
    count++;
  }
  return count === 0 ? NaN : sum / count;
}

/** Sample standard deviation (n - 1) of the finite values; NaN under two. */
export function standardDeviation(values: ArrayLike<number>): number {
  const centre = mean(values);
  let sum = 0;
  let count = 0;
  for (let i = 0; i < values.length; i++) {
    if (!Number.isFinite(values[i])) continue;
    sum += (values[i] - centre) ** 2;
    count++;
  }
  return count < 2 ? NaN : Math.sqrt(sum / (count - 1));
}

/** 1.4826 times the median absolute deviation: the standard deviation of a normal sample, blind to a few outliers (Hampel 1974). */
export function robustSpread(sorted: ArrayLike<number>): number {
  const centre = quantileSorted(sorted, 0.5);
  const deviations = new Float64Array(sorted.length);
  for (let i = 0; i < sorted.length; i++) deviations[i] = Math.abs(sorted[i] - centre);
  return 1.4826 * quantileSorted(deviations.sort(), 0.5);
}
