/**
 * Mean of the finite values; `NaN` for none. Ours, because it is taken of every column of every window and of every bin
 * of tests: 0.5 us for 720 values, 3 us with the mean of d3-array (one core, Node 20).
 */
export const mean = (values: ArrayLike<number>): number => meanBetween(values, 0, values.length);

/** Mean of the finite values from one index to before another: without a part of the array being made for it. */
export function meanBetween(values: ArrayLike<number>, from: number, to: number): number {
  let sum = 0;
  let count = 0;
  for (let i = from; i < to; i++) {
    if (!Number.isFinite(values[i])) continue;
    sum += values[i]!;
    count++;
  }
  return count === 0 ? NaN : sum / count;
}

/**
 * Sample standard deviation (n - 1) of the finite values, by updating (Welford 1962, Technometrics 4:419); `NaN` under
 * two. Ours for the same reason: 3 us for 720 values, 30 us with the copy to an array that `deviation` of d3-array needs.
 */
export function standardDeviation(values: ArrayLike<number>): number {
  let mean = 0;
  let squares = 0;
  let count = 0;
  for (let i = 0; i < values.length; i++) {
    const value = values[i]!;
    if (!Number.isFinite(value)) continue;
    const off = value - mean;
    mean += off / ++count;
    squares += off * (value - mean);
  }
  return count > 1 ? Math.sqrt(squares / (count - 1)) : NaN;
}
