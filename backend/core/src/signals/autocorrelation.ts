import { fourierInPlace, powerOfTwo } from './fourier.js';

/**
 * Biased autocorrelation of evenly spaced centred values: rho[k] = sum x[i] x[i+k] / sum x[i]^2, k = 0..maximumLag.
 * Dimensionless. The mean must have been subtracted from the values.
 */
export function autocorrelation(value: ArrayLike<number>, maximumLag: number): Float64Array {
  const n = value.length;
  const lags = Math.min(maximumLag, n - 1);
  const size = powerOfTwo(n + lags + 1);
  const real = new Float64Array(size);
  const imaginary = new Float64Array(size);
  for (let i = 0; i < n; i++) real[i] = value[i];
  fourierInPlace(real, imaginary);
  for (let k = 0; k < size; k++) {
    real[k] = real[k] * real[k] + imaginary[k] * imaginary[k];
    imaginary[k] = 0;
  }
  fourierInPlace(real, imaginary);
  const rho = new Float64Array(lags + 1);
  for (let k = 0; k <= lags; k++) rho[k] = real[0] > 0 ? real[k] / real[0] : NaN;
  return rho;
}

/**
 * Correlation of two evenly spaced columns with missing values (NaN): for each lag the mean product over the pairs
 * that are there, over the root of both variances. `lag` k pairs a[i] with b[i+k]; entry `maximumLag + k` holds it.
 * NaN where fewer than `fewestPairs` pairs meet.
 */
export function gappyCorrelation(
  a: Float64Array,
  b: Float64Array,
  maximumLag: number,
  fewestPairs = 5,
): Float64Array {
  const n = a.length;
  const [aa, aCount] = squaresAndCount(a);
  const [bb, bCount] = squaresAndCount(b);
  const scale = Math.sqrt((aa / Math.max(aCount, 1)) * (bb / Math.max(bCount, 1)));
  const whole = aCount === n && bCount === n;
  let sums: Float64Array;
  let pairs: Float64Array | null = null;
  if ((2 * maximumLag + 1) * n < 60_000) {
    sums = new Float64Array(2 * maximumLag + 1);
    pairs = new Float64Array(2 * maximumLag + 1);
    for (let lag = -maximumLag; lag <= maximumLag; lag++) {
      const last = Math.min(n, n - lag);
      let sum = 0;
      let count = 0;
      for (let i = Math.max(0, -lag); i < last; i++) {
        const product = a[i] * b[i + lag];
        if (product !== product) continue;
        sum += product;
        count++;
      }
      sums[maximumLag + lag] = sum;
      pairs[maximumLag + lag] = count;
    }
  } else {
    const size = powerOfTwo(n + maximumLag + 1);
    sums = correlate(
      padded(a, size, (v) => (v === v ? v : 0)),
      padded(b, size, (v) => (v === v ? v : 0)),
      maximumLag,
    );
    if (!whole)
      pairs = correlate(
        padded(a, size, (v) => (v === v ? 1 : 0)),
        padded(b, size, (v) => (v === v ? 1 : 0)),
        maximumLag,
      );
  }
  for (let k = 0; k < sums.length; k++) {
    const count = pairs ? Math.round(pairs[k]) : n - Math.abs(k - maximumLag);
    sums[k] = count >= fewestPairs && scale > 0 ? sums[k] / count / scale : NaN;
  }
  return sums;
}

function squaresAndCount(values: Float64Array): [number, number] {
  let squares = 0;
  let count = 0;
  for (let i = 0; i < values.length; i++) {
    if (values[i] !== values[i]) continue;
    squares += values[i] * values[i];
    count++;
  }
  return [squares, count];
}

function padded(values: Float64Array, size: number, map: (value: number) => number): Float64Array {
  const out = new Float64Array(size);
  for (let i = 0; i < values.length; i++) out[i] = map(values[i]);
  return out;
}

function correlate(a: Float64Array, b: Float64Array, maximumLag: number): Float64Array {
  const size = a.length;
  const real = Float64Array.from(a);
  const imaginary = Float64Array.from(b);
  fourierInPlace(real, imaginary);
  const outReal = new Float64Array(size);
  const outImaginary = new Float64Array(size);
  for (let k = 0; k < size; k++) {
    const m = (size - k) % size;
    const aReal = 0.5 * (real[k] + real[m]);
    const aImaginary = 0.5 * (imaginary[k] - imaginary[m]);
    const bReal = 0.5 * (imaginary[k] + imaginary[m]);
    const bImaginary = -0.5 * (real[k] - real[m]);
    // conj(A) B, conjugated once more because the inverse transform is done with the forward one.
    outReal[k] = aReal * bReal + aImaginary * bImaginary;
    outImaginary[k] = -(aReal * bImaginary - aImaginary * bReal);
  }
  fourierInPlace(outReal, outImaginary);
  const result = new Float64Array(2 * maximumLag + 1);
  for (let lag = -maximumLag; lag <= maximumLag; lag++)
    result[maximumLag + lag] = outReal[(lag + size) % size] / size;
  return result;
}
