/**
 * Values at uneven times as means on an even grid of times: bin i covers [start + i step, start + (i+1) step). An empty
 * bin is filled on a straight line between its neighbours where the gap is at most `bridge_s` long, else it is NaN.
 * (`overBins` of numerics joins neighbours by their number, whatever their times.)
 */
export function meansOnGrid(
  time_s: ArrayLike<number>,
  value: ArrayLike<number>,
  start_s: number,
  step_s: number,
  bins: number,
  bridge_s: number,
): Float64Array {
  const sum = new Float64Array(bins);
  const count = new Uint32Array(bins);
  for (let i = 0; i < time_s.length; i++) {
    if (!Number.isFinite(value[i])) continue;
    const bin = Math.floor((time_s[i] - start_s) / step_s + 1e-9);
    if (bin < 0 || bin >= bins) continue;
    sum[bin] += value[i];
    count[bin]++;
  }
  let last = -1;
  for (let i = 0; i < bins; i++) {
    if (count[i] === 0) {
      sum[i] = NaN;
      continue;
    }
    sum[i] /= count[i];
    if (last >= 0 && i - last > 1 && (i - last) * step_s <= bridge_s) {
      const slope = (sum[i] - sum[last]) / (i - last);
      for (let k = last + 1; k < i; k++) sum[k] = sum[last] + slope * (k - last);
    }
    last = i;
  }
  return sum;
}

/** Centred moving mean over `width` points (odd), of the finite values among them; NaN stays NaN. */
export function movingMean(value: Float64Array, width: number): Float64Array {
  const n = value.length;
  const half = Math.max(0, Math.floor(width / 2));
  const sums = new Float64Array(n + 1);
  const counts = new Int32Array(n + 1);
  for (let i = 0; i < n; i++) {
    const there = Number.isFinite(value[i]);
    sums[i + 1] = sums[i] + (there ? value[i] : 0);
    counts[i + 1] = counts[i] + (there ? 1 : 0);
  }
  const result = new Float64Array(n);
  for (let i = 0; i < n; i++) {
    const from = Math.max(0, i - half);
    const to = Math.min(n, i + half + 1);
    const count = counts[to] - counts[from];
    result[i] = Number.isFinite(value[i]) && count > 0 ? (sums[to] - sums[from]) / count : NaN;
  }
  return result;
}
