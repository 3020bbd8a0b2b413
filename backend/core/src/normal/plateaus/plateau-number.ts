/** A channel's value on a plateau. */
export interface PlateauNumber {
  value: number;
  /** Standard uncertainty of the mean, of scatter and resolution; not of the instrument's calibration. */
  uncertainty: number;
}

/** Parts of a plateau whose means are compared: enough for their scatter, few enough to be longer than a swing. */
const batches = 8;

/**
 * Mean of a channel over a plateau without what lies five robust standard deviations off its median, and its standard
 * uncertainty. Samples seconds apart are not independent, so this comes from the scatter of eight batch means (Schmeiser
 * 1982, Oper. Res. 30:556), raised where neighbouring batches still go together, by (1 + r)/(1 - r) of an
 * autoregressive process of first order. Where the channel moves by less than a step of its resolution, scatter tells
 * nothing and the step's own uncertainty, step/sqrt(12), is added. Null under three values.
 */
export function plateauNumber(time_s: Float64Array, values: Float64Array): PlateauNumber | null {
  const kept = values.filter((value) => Number.isFinite(value));
  if (kept.length < 3) return null;
  const sorted = Float64Array.from(kept).sort();
  const middle = sorted[sorted.length >> 1];
  const step = resolution(sorted);
  const spread = Math.max(1.4826 * medianDeviation(sorted, sorted.length >> 1), step / 2);
  const limit = 5 * spread;
  const from = time_s[0];
  const width = (time_s[time_s.length - 1] - from) / batches || 1;
  const sums = new Float64Array(batches);
  const counts = new Int32Array(batches);
  let sum = 0;
  let squares = 0;
  let count = 0;
  for (let i = 0; i < values.length; i++) {
    const off = values[i] - middle;
    if (!(Math.abs(off) <= limit)) continue;
    const batch = Math.min(batches - 1, Math.floor((time_s[i] - from) / width));
    sums[batch] += off;
    counts[batch]++;
    sum += off;
    squares += off * off;
    count++;
  }
  if (count < 3) return { value: middle, uncertainty: spread };
  const mean = sum / count;
  const deviation = Math.sqrt(Math.max(0, (squares - count * mean * mean) / (count - 1)));
  const means = [...sums].map((total, k) => total / counts[k]).filter(Number.isFinite);
  const scatter = uncertaintyOfMean(means) ?? deviation / Math.sqrt(count);
  const coarse = deviation < step / 2 ? step / Math.sqrt(12) : 0;
  return { value: middle + mean, uncertainty: Math.hypot(scatter, coarse) };
}

function uncertaintyOfMean(means: readonly number[]): number | null {
  const n = means.length;
  if (n < 4) return null;
  const mean = means.reduce((sum, value) => sum + value, 0) / n;
  let squares = 0;
  let products = 0;
  for (let k = 0; k < n; k++) {
    squares += (means[k] - mean) ** 2;
    if (k > 0) products += (means[k] - mean) * (means[k - 1] - mean);
  }
  if (squares === 0) return 0;
  // Of n values about their own mean the first autocorrelation is too low by about 1/n.
  const together = Math.min(0.7, Math.max(0, products / squares + 1 / n));
  // Student's t of n - 1 degrees of freedom has the variance (n - 1)/(n - 3).
  return Math.sqrt((squares / (n - 3) / n) * ((1 + together) / (1 - together)));
}

/** Median of the absolute deviations of ascending values from the one at `at`, by walking outwards from it. */
function medianDeviation(sorted: Float64Array, at: number): number {
  const middle = sorted[at];
  let [low, high] = [at, at + 1];
  let deviation = 0;
  for (let k = 0; k <= sorted.length >> 1; k++) {
    const below = low >= 0 ? middle - sorted[low] : Infinity;
    const above = high < sorted.length ? sorted[high] - middle : Infinity;
    deviation = Math.min(below, above);
    if (below <= above) low--;
    else high++;
  }
  return deviation;
}

/** Least difference between two neighbours of ascending values; 0 for a constant. */
function resolution(sorted: Float64Array): number {
  let least = Infinity;
  for (let i = 1; i < sorted.length; i++) {
    const step = sorted[i] - sorted[i - 1];
    if (step > 1e-9 * Math.abs(sorted[i]) && step < least) least = step;
  }
  return Number.isFinite(least) ? least : 0;
}
