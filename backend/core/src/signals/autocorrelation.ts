import { fourierInPlace, powerOfTwo } from './fourier.js';

/**
 * Biased autocorrelation of evenly spaced centred values: rho[k] = sum x[i] x[i+k] / sum x[i]^2, k = 0..maximumLag.
 * Dimensionless. Values should have their mean taken off.
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
  const size = powerOfTwo(n + maximumLag + 1);
  const ar = new Float64Array(size);
  const am = new Float64Array(size);
  const br = new Float64Array(size);
  const bm = new Float64Array(size);
  let aa = 0;
  let bb = 0;
  let aCount = 0;
  let bCount = 0;
  for (let i = 0; i < n; i++) {
    if (Number.isFinite(a[i])) {
      ar[i] = a[i];
      am[i] = 1;
      aa += a[i] * a[i];
      aCount++;
    }
    if (Number.isFinite(b[i])) {
      br[i] = b[i];
      bm[i] = 1;
      bb += b[i] * b[i];
      bCount++;
    }
  }
  const product = correlate(ar, br, maximumLag);
  const pairs = correlate(am, bm, maximumLag);
  const scale = Math.sqrt((aa / Math.max(aCount, 1)) * (bb / Math.max(bCount, 1)));
  for (let k = 0; k < product.length; k++) {
    const count = Math.round(pairs[k]);
    product[k] = count >= fewestPairs && scale > 0 ? product[k] / count / scale : NaN;
  }
  return product;
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
