interface Plan {
  cosine: Float64Array;
  sine: Float64Array;
  reversed: Uint32Array;
}
const plans = new Map<number, Plan>();

function planFor(size: number): Plan {
  let plan = plans.get(size);
  if (plan) return plan;
  const cosine = new Float64Array(size / 2);
  const sine = new Float64Array(size / 2);
  for (let k = 0; k < size / 2; k++) {
    cosine[k] = Math.cos((2 * Math.PI * k) / size);
    sine[k] = Math.sin((2 * Math.PI * k) / size);
  }
  const bits = Math.round(Math.log2(size));
  const reversed = new Uint32Array(size);
  for (let i = 0; i < size; i++) reversed[i] = (reversed[i >> 1] >> 1) | ((i & 1) << (bits - 1));
  plan = { cosine, sine, reversed };
  plans.set(size, plan);
  return plan;
}

/** Smallest power of two that is at least `length`. */
export function powerOfTwo(length: number): number {
  let size = 1;
  while (size < length) size *= 2;
  return size;
}

/**
 * Discrete Fourier transform in place, X[k] = sum x[n] exp(-2 pi i k n / N), radix 2 (Cooley & Tukey 1965).
 * `N` must be a power of two; both arrays hold `N` values. Tables are kept per size.
 */
export function fourierInPlace(real: Float64Array, imaginary: Float64Array): void {
  const size = real.length;
  if (size < 2) return;
  const { cosine, sine, reversed } = planFor(size);
  for (let i = 0; i < size; i++) {
    const j = reversed[i];
    if (j <= i) continue;
    const r = real[i];
    real[i] = real[j];
    real[j] = r;
    const m = imaginary[i];
    imaginary[i] = imaginary[j];
    imaginary[j] = m;
  }
  for (let half = 1; half < size; half *= 2) {
    const stride = size / (2 * half);
    for (let start = 0; start < size; start += 2 * half) {
      for (let k = 0, w = 0; k < half; k++, w += stride) {
        const a = start + k;
        const b = a + half;
        const c = cosine[w];
        const s = sine[w];
        const r = real[b] * c + imaginary[b] * s;
        const m = imaginary[b] * c - real[b] * s;
        real[b] = real[a] - r;
        imaginary[b] = imaginary[a] - m;
        real[a] += r;
        imaginary[a] += m;
      }
    }
  }
}
