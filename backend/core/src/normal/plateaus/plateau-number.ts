import { finiteOf, select, sortedFinite } from '../../numerics/index.js';

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
  const kept = finiteOf(values);
  const n = kept.length;
  if (n < 3) return null;
  const coarsest = coarsestStep(kept);
  const middle = select(kept, n >> 1);
  for (let i = 0; i < n; i++) kept[i] = Math.abs(kept[i] - middle);
  const robust = 1.4826 * select(kept, n >> 1);
  let step = coarsest / 2 > robust ? resolution(sortedFinite(values)) : 0;
  const spread = Math.max(robust, step / 2);
  const limit = 5 * spread;
  const from = time_s[0];
  const width = (time_s[time_s.length - 1] - from) / batches || 1;
  const sums = new Float64Array(batches);
  const counts = new Int32Array(batches);
  let sum = 0;
  let squares = 0;
  let count = 0;
  let batch = 0;
  for (let i = 0; i < values.length; i++) {
    while (batch < batches - 1 && time_s[i] - from >= (batch + 1) * width) batch++;
    const off = values[i] - middle;
    if (!(Math.abs(off) <= limit)) continue;
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
  if (step === 0 && coarsest / 2 > deviation) step = resolution(sortedFinite(values));
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

/**
 * No less than the resolution: the smallest difference of two values that follow each other, of those too large to be made
 * up of differences that `resolution` takes for none. A channel that scatters by more need not be sorted to know its
 * resolution, which most of the time went into. Infinity where no value follows another.
 */
function coarsestStep(values: Float64Array): number {
  const n = values.length;
  let least = Infinity;
  for (let i = 1; i < n; i++) {
    const step = Math.abs(values[i] - values[i - 1]);
    if (step < least && step > n * same * Math.max(Math.abs(values[i]), Math.abs(values[i - 1])))
      least = step;
  }
  return least;
}

/** Values that differ by less than this share of themselves are the same. */
const same = 1e-9;

/** Least difference between two neighbours of ascending values; 0 for a constant. */
function resolution(sorted: Float64Array): number {
  let least = Infinity;
  for (let i = 1; i < sorted.length; i++) {
    const step = sorted[i] - sorted[i - 1];
    if (step > same * Math.abs(sorted[i]) && step < least) least = step;
  }
  return Number.isFinite(least) ? least : 0;
}
