import { fourierInPlace, powerOfTwo } from './fourier.js';
import { phasesOf } from './phases.js';

/**
 * Lomb-Scargle power of values at one period, with the time offset that makes it blind to a shift in time (Lomb 1976;
 * Scargle 1982) and a mean fitted along (Zechmeister & Kuerster 2009): half of the sum of squares that a sine of this
 * period explains, in the unit of `value` squared. It is `scipy.signal.lombscargle` with `floating_mean`:
 * P = 1/2 { [sum y cos w(t-tau)]^2 / sum cos^2 + [sum y sin w(t-tau)]^2 / sum sin^2 }, all sums about their means.
 * Samples may lie at uneven times.
 */
export function lombScarglePower(
  time_s: ArrayLike<number>,
  value: ArrayLike<number>,
  period_s: number,
): number {
  const omega = (2 * Math.PI) / period_s;
  const n = time_s.length;
  let y = 0;
  let cosines = 0;
  let sines = 0;
  let yc = 0;
  let ys = 0;
  let cc = 0;
  let cs = 0;
  const { cosine, sine } = phasesOf(time_s, omega);
  for (let i = 0; i < n; i++) {
    const c = cosine[i];
    const s = sine[i];
    y += value[i];
    cosines += c;
    sines += s;
    yc += value[i] * c;
    ys += value[i] * s;
    cc += c * c;
    cs += c * s;
  }
  return powerFromSums(
    yc - (y * cosines) / n,
    ys - (y * sines) / n,
    cc - (cosines * cosines) / n,
    n - cc - (sines * sines) / n,
    cs - (cosines * sines) / n,
  );
}

/** Power on a list of periods; exact, at O(samples x periods). */
export const lombScargle = (
  time_s: ArrayLike<number>,
  value: ArrayLike<number>,
  periods_s: ArrayLike<number>,
): Float64Array => Float64Array.from(periods_s, (period) => lombScarglePower(time_s, value, period));

/**
 * Power from sums about their means. The offset tau turns the sums so that those of cosine and sine no longer go together:
 * tan(2 w tau) = 2 cs / (cc - ss). Its cosine and sine come by half angles, without a call of an arc tangent, a cosine and
 * a sine for each of the thousand frequencies of a spectrum (a quarter of its time).
 */
function powerFromSums(yc: number, ys: number, cc: number, ss: number, cs: number): number {
  const across = Math.sqrt((cc - ss) * (cc - ss) + 4 * cs * cs);
  const cosineOfTwice = across > 0 ? (cc - ss) / across : 1;
  const sineOfTwice = across > 0 ? (2 * cs) / across : 0;
  let c: number;
  let s: number;
  if (cosineOfTwice >= 0) {
    c = Math.sqrt(0.5 * (1 + cosineOfTwice));
    s = sineOfTwice / (2 * c);
  } else {
    s = Math.sqrt(0.5 * (1 - cosineOfTwice));
    if (sineOfTwice < 0) s = -s;
    c = sineOfTwice / (2 * s);
  }
  const yCos = yc * c + ys * s;
  const ySin = ys * c - yc * s;
  const cosCos = c * c * cc + 2 * c * s * cs + s * s * ss;
  const sinSin = c * c * ss - 2 * c * s * cs + s * s * cc;
  return 0.5 * ((cosCos > 0 ? (yCos * yCos) / cosCos : 0) + (sinSin > 1e-12 ? (ySin * ySin) / sinSin : 0));
}

export interface PowerSpectrum {
  /** Frequency of bin k is k * step_Hz. */
  step_Hz: number;
  power: Float64Array;
}

/**
 * The same power on an even grid of frequencies 0 .. highest_Hz with a step of at most 1/(oversampling x span).
 *
 * Where the samples lie on an even time grid of `spacing_s` (within 2 % of it; gaps allowed), the sums are one Fourier
 * transform of that grid. Otherwise each sample is spread over four points of a finer grid first (Press & Rybicki 1989,
 * Astrophys. J. 338:277), which agrees with the exact sum to about 0.1 % of the largest power.
 */
export function lombScargleSpectrum(
  time_s: ArrayLike<number>,
  value: ArrayLike<number>,
  highest_Hz: number,
  oversampling = 4,
  spacing_s = 0,
): PowerSpectrum {
  const n = time_s.length;
  const span = time_s[n - 1] - time_s[0];
  const even = spacing_s > 0 && onGrid(time_s, spacing_s);
  // Off the grid the window's transform is read at twice the frequency, and spreading needs room above it.
  const size = even
    ? powerOfTwo(Math.max(64, (oversampling * span) / spacing_s))
    : powerOfTwo(Math.max(64, highest_Hz * oversampling * span * 5));
  const perSecond = even ? 1 / spacing_s : size / (oversampling * span);
  const step_Hz = perSecond / size;
  const bins = Math.min(Math.floor(highest_Hz / step_Hz) + 1, size / 2);
  const real = new Float64Array(size);
  const imaginary = new Float64Array(size);
  for (let i = 0; i < n; i++) {
    const position = (time_s[i] - time_s[0]) * perSecond;
    if (even) {
      real[Math.round(position)] += value[i];
      imaginary[Math.round(position)] += 1;
      continue;
    }
    spread(real, position, value[i]);
    spread(imaginary, position, 1);
  }
  fourierInPlace(real, imaginary);
  const total = real[0];
  // One complex transform of (values + i ones) holds both real transforms; they separate by symmetry.
  const power = new Float64Array(bins);
  for (let k = 1; k < bins; k++) {
    const m = size - k;
    const yReal = 0.5 * (real[k] + real[m]);
    const yImaginary = 0.5 * (imaginary[k] - imaginary[m]);
    const k2 = 2 * k;
    const m2 = (size - k2) % size;
    const wReal = 0.5 * (imaginary[k2] + imaginary[m2]);
    const wImaginary = -0.5 * (real[k2] - real[m2]);
    const cosines = 0.5 * (imaginary[k] + imaginary[m]);
    const sines = 0.5 * (real[k] - real[m]);
    power[k] = powerFromSums(
      yReal - (total * cosines) / n,
      -yImaginary - (total * sines) / n,
      0.5 * (n + wReal) - (cosines * cosines) / n,
      0.5 * (n - wReal) - (sines * sines) / n,
      -0.5 * wImaginary - (cosines * sines) / n,
    );
  }
  return { step_Hz, power };
}

function onGrid(time_s: ArrayLike<number>, spacing_s: number): boolean {
  for (let i = 1; i < time_s.length; i++) {
    const position = (time_s[i] - time_s[0]) / spacing_s;
    if (Math.abs(position - Math.round(position)) > 0.02) return false;
  }
  return true;
}

/** Adds `value` at a fractional grid position by third-order Lagrange weights; whole positions stay exact. */
function spread(grid: Float64Array, position: number, value: number): void {
  const size = grid.length;
  const whole = Math.round(position);
  if (Math.abs(position - whole) < 1e-9) {
    grid[whole % size] += value;
    return;
  }
  const base = Math.floor(position) - 1;
  const u = position - base;
  const a = u;
  const b = u - 1;
  const c = u - 2;
  const d = u - 3;
  grid[(base + size) % size] += (value * b * c * d) / -6;
  grid[(base + 1) % size] += (value * a * c * d) / 2;
  grid[(base + 2) % size] += (value * a * b * d) / -2;
  grid[(base + 3) % size] += (value * a * b * c) / 6;
}
