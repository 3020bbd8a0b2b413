import { lombScarglePower, lombScargleSpectrum } from '../../../signals/lomb-scargle.js';

export interface SpectralPeak {
  period_s: number;
  /** Normalised Lomb-Scargle power: fraction of the variance, 0..1. */
  normalisedPower: number;
  /** Power over the smooth background of the noise around it. */
  prominence: number;
  /** Probability that noise with this background would show such a peak anywhere in the band. */
  falseAlarm: number;
}

/**
 * Peaks of the Lomb-Scargle spectrum that stand out of the noise, strongest first.
 *
 * Under white noise the power over its mean is exponentially distributed, so the chance that none of M independent
 * frequencies exceeds z is (1 - e^-z)^M (Scargle 1982; Horne & Baliunas 1986). Superheat's noise is coloured, so the mean
 * is taken from the spectrum itself, as a straight line in log power over log frequency within a factor of three around
 * each frequency, through medians so that the peak does not lift its own background (after Mann & Lees 1996).
 */
export function spectralPeaks(
  time_s: Float64Array,
  value: Float64Array,
  shortest_s: number,
  longest_s: number,
  highestFalseAlarm: number,
  spacing_s = 0,
): SpectralPeak[] {
  const n = time_s.length;
  const { step_Hz, power } = lombScargleSpectrum(time_s, value, 1.35 / shortest_s, 4, spacing_s);
  // Bins per independent frequency: 1/span apart.
  const oversampling = Math.max(1, Math.round(1 / ((time_s[n - 1] - time_s[0]) * step_Hz)));
  let squares = 0;
  for (let i = 0; i < n; i++) squares += value[i] * value[i];
  if (!(squares > 0)) return [];
  const lowest = Math.max(2, Math.ceil(1 / longest_s / step_Hz));
  const highest = Math.min(power.length - 2, Math.floor(1 / shortest_s / step_Hz));
  const background = noiseBackground(power, lowest, highest, oversampling);
  const independent = Math.max(1, Math.min(n / 2, (highest - lowest) / oversampling));
  const floor = (1e-10 * squares) / n;
  const peaks: SpectralPeak[] = [];
  for (let k = lowest; k <= highest; k++) {
    if (power[k] < power[k - 1] || power[k] < power[k + 1]) continue;
    const prominence = power[k] / (background[k - lowest] + floor);
    const falseAlarm = -Math.expm1(independent * Math.log1p(-Math.exp(-prominence)));
    if (falseAlarm > highestFalseAlarm) continue;
    peaks.push({
      period_s: 1 / (k * step_Hz),
      normalisedPower: (2 * power[k]) / squares,
      prominence,
      falseAlarm,
    });
  }
  return peaks.sort((a, b) => b.normalisedPower - a.normalisedPower);
}

/** Moves a peak to the top of the exact spectrum by parabolas through three frequencies, twice. */
export function refinePeriod(time_s: Float64Array, value: Float64Array, period_s: number): number {
  const span = time_s[time_s.length - 1] - time_s[0];
  let frequency = 1 / period_s;
  let step = 1 / (6 * span);
  for (let round = 0; round < 2; round++) {
    const below = lombScarglePower(time_s, value, 1 / (frequency - step));
    const here = lombScarglePower(time_s, value, 1 / frequency);
    const above = lombScarglePower(time_s, value, 1 / (frequency + step));
    const bend = below - 2 * here + above;
    if (bend < 0) frequency += step * Math.max(-1, Math.min(1, (0.5 * (below - above)) / bend));
    step /= 4;
  }
  return 1 / frequency;
}

/** Mean noise power at bins `lowest`..`highest`. */
function noiseBackground(
  power: Float64Array,
  lowest: number,
  highest: number,
  oversampling: number,
): Float64Array {
  const background = new Float64Array(highest - lowest + 1);
  const last = power.length - 1;
  // Knots a third of an octave apart; the line between them is straight in log-log.
  const ratio = 2 ** (1 / 3);
  let previousX = NaN;
  let previousY = NaN;
  let filled = lowest;
  for (let knot = lowest; ; knot = Math.min(knot * ratio, highest)) {
    const x = Math.log(knot);
    const from = Math.max(oversampling, Math.floor(knot / 3));
    const y = localLevel(power, knot, from, Math.min(last, Math.ceil(knot * 3)), oversampling);
    if (Number.isNaN(previousX)) {
      while (filled <= knot && filled <= highest) background[filled++ - lowest] = Math.exp(y);
    } else {
      const slope = x > previousX ? (y - previousY) / (x - previousX) : 0;
      for (; filled <= knot + 1e-9 && filled <= highest; filled++)
        background[filled - lowest] = Math.exp(previousY + slope * (Math.log(filled) - previousX));
    }
    previousX = x;
    previousY = y;
    if (knot >= highest) break;
  }
  return background;
}

const most = 48;
const logFrequency = new Float64Array(most + 1);
const logPower = new Float64Array(most + 1);
const rest = new Float64Array(most + 1);

/** Log of the mean noise power at `centre`, from independent bins `from`..`to`. */
function localLevel(
  power: Float64Array,
  centre: number,
  from: number,
  to: number,
  oversampling: number,
): number {
  const stride = Math.max(oversampling, Math.ceil((to - from) / most));
  let count = 0;
  for (let k = from; k <= to && count <= most; k += stride) {
    logFrequency[count] = Math.log(k / centre);
    logPower[count++] = Math.log(power[k] + 1e-300);
  }
  // A straight line twice, the second time without what lies far above the first, which is the peak's.
  let slope = 0;
  let level = 0;
  let limit = Infinity;
  for (let round = 0; round < 2 && count >= 6; round++) {
    let m = 0;
    let sx = 0;
    let sy = 0;
    let sxx = 0;
    let sxy = 0;
    let squares = 0;
    for (let i = 0; i < count; i++) {
      const off = logPower[i] - level - slope * logFrequency[i];
      if (off > limit) continue;
      m++;
      sx += logFrequency[i];
      sy += logPower[i];
      sxx += logFrequency[i] * logFrequency[i];
      sxy += logFrequency[i] * logPower[i];
    }
    const spread = sxx - (sx * sx) / m;
    slope = spread > 0 ? Math.max(-4, Math.min(1, (sxy - (sx * sy) / m) / spread)) : 0;
    level = (sy - slope * sx) / m;
    for (let i = 0; i < count; i++) squares += (logPower[i] - level - slope * logFrequency[i]) ** 2;
    limit = 1.1 * Math.sqrt(squares / count);
  }
  for (let i = 0; i < count; i++) rest[i] = logPower[i] - slope * logFrequency[i];
  const sorted = rest.subarray(0, count).sort();
  const middle = count % 2 ? sorted[(count - 1) / 2] : 0.5 * (sorted[count / 2 - 1] + sorted[count / 2]);
  // The median of an exponential distribution is ln 2 of its mean.
  return middle - Math.log(Math.LN2);
}
