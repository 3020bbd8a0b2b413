import { gappyCorrelation } from '../signals/autocorrelation.js';
import { withoutStep, withoutTrend } from '../signals/detrend.js';
import { binMeans, movingMean } from '../signals/resample.js';
import { checkSeries } from '../signals/series-error.js';
import { fitSine } from '../signals/sine-fit.js';
import {
  forsmanStattinShare,
  haegglundShare,
  miaoSeborgRatio,
  thornhillRegularity,
} from './regularity-indices.js';
import { halfCycles } from './half-cycles.js';
import { refinePeriod, spectralPeaks, type SpectralPeak } from './spectral-peak.js';

export interface OscillationOptions {
  /** Periods sought, s. */
  shortestPeriod_s?: number;
  longestPeriod_s?: number;
  /** Fewest cycles that the series must hold. */
  fewestCycles?: number;
  fewestSamples?: number;
}

export interface OscillationVerdict {
  /** null: too little data to say either way. */
  oscillating: boolean | null;
  /** Period and amplitude of the cycle; null unless oscillating. */
  period_s: number | null;
  /** Half of the swing of the fitted sine, in the unit of `value`. */
  amplitude: number | null;
  indices: Record<string, number | null>;
  cycles: number | null;
  /** The crest nearest to the middle of the series, in the time of `time_s`. */
  crest_s: number | null;
}

/** Limits of the published indices and of the verdict that is taken from all of them. */
export const oscillationLimits = {
  falseAlarm: 1e-5,
  leastShare: 0.08,
  thornhill: 1,
  miaoSeborg: 0.5,
  forsmanStattin: 0.4,
  haegglund: 0.6,
  phaseKeeping: 0.8,
  sparseShare: 0.4,
} as const;

const unknown = (indices: Record<string, number | null> = {}): OscillationVerdict => ({
  oscillating: null,
  period_s: null,
  amplitude: null,
  indices,
  cycles: null,
  crest_s: null,
});

/**
 * Does the series oscillate, how fast and how far? A verdict from several independent published indices, since each
 * alone is fooled: first a peak of the Lomb-Scargle spectrum must stand out of its coloured background; then, of the
 * indices that can be computed at the peak's period (Thornhill's regularity, Miao & Seborg's decay ratio, Forsman &
 * Stattin's half-cycle similarity, Haegglund's load count), more than half must agree.
 *
 * Uneven sampling, gaps, quantisation and a slow drift are allowed for: a cubic and, where one explains most of what
 * moves, a single step are taken off first. Periods from `shortestPeriod_s` (40 s, or three samples) to
 * `longestPeriod_s` (30 min, or a quarter of the span). Too little data is `oscillating: null`.
 * Throws `SeriesError` for columns of unlike length or times out of order.
 *
 * @example detectOscillation({ time_s: [0, 10, 20, ...], value: superheat_K }).period_s
 */
export function detectOscillation(
  series: { time_s: ArrayLike<number>; value: ArrayLike<number> },
  options: OscillationOptions = {},
): OscillationVerdict {
  checkSeries(series.time_s, { value: series.value });
  const { time_s, value, spacing_s } = usable(
    series.time_s,
    series.value,
    (options.shortestPeriod_s ?? 40) / 4,
  );
  const n = time_s.length;
  const fewestCycles = options.fewestCycles ?? 4;
  if (n < (options.fewestSamples ?? 40)) return unknown();
  const span = time_s[n - 1] - time_s[0];
  const shortest = Math.max(options.shortestPeriod_s ?? 40, 3 * spacing_s);
  const longest = Math.min(options.longestPeriod_s ?? 1800, (span * (1 + 1 / n)) / fewestCycles);
  if (longest <= shortest * 1.2) return unknown();
  const rest = withoutTrend(time_s, withoutStep(withoutTrend(time_s, value, 1)), 3);
  let scale = 0;
  let squares = 0;
  for (let i = 0; i < n; i++) {
    scale = Math.max(scale, Math.abs(value[i]));
    squares += rest[i] * rest[i];
  }
  // What is left is the rounding of the arithmetic, or nothing at all.
  if (Math.sqrt(squares / n) <= 1e-9 * scale) return quiet(null);
  const peaks = spectralPeaks(time_s, rest, shortest, longest, oscillationLimits.falseAlarm, spacing_s);
  let shown: Record<string, number | null> | null = null;
  for (const peak of peaks.slice(0, 3)) {
    if (peak.share < oscillationLimits.leastShare) break;
    const examined = examine(time_s, rest, spacing_s, peak);
    shown ??= examined.indices;
    if (!examined.agreed) continue;
    const fit = fitSine(time_s, rest, examined.period_s);
    // A slow drift read in coarse steps makes a saw of half a step.
    if (!fit || fit.amplitude < 0.7 * resolution(value)) continue;
    return {
      oscillating: true,
      period_s: examined.period_s,
      amplitude: fit.amplitude,
      indices: examined.indices,
      cycles: span / examined.period_s,
      crest_s: fit.crest_s,
    };
  }
  if (swingTooSlow(time_s, value, span, fewestCycles, options.longestPeriod_s ?? 1800))
    return unknown(shown ?? {});
  return quiet(shown);
}

const quiet = (indices: Record<string, number | null> | null): OscillationVerdict => ({
  oscillating: false,
  period_s: null,
  amplitude: null,
  indices: indices ?? { lombScargleFalseAlarm: 1, lombScargleShare: null },
  cycles: null,
  crest_s: null,
});

/** Finite samples, averaged into bins where they come faster than the shortest period needs. */
function usable(time_s: ArrayLike<number>, value: ArrayLike<number>, coarsest_s: number) {
  let count = 0;
  const t = new Float64Array(time_s.length);
  const v = new Float64Array(time_s.length);
  for (let i = 0; i < time_s.length; i++) {
    if (!Number.isFinite(value[i])) continue;
    t[count] = time_s[i];
    v[count++] = value[i];
  }
  let time = t.subarray(0, count);
  let values = v.subarray(0, count);
  let spacing_s = ownInterval(time);
  if (spacing_s < coarsest_s / 2 && count > 100) {
    const step = coarsest_s;
    const start = time[0];
    const bins = Math.floor((time[count - 1] - start) / step) + 1;
    const means = binMeans(time, values, start, step, bins, 0);
    const times = binMeans(time, time, start, step, bins, 0);
    let kept = 0;
    for (let i = 0; i < bins; i++) {
      if (!Number.isFinite(means[i])) continue;
      t[kept] = times[i];
      v[kept++] = means[i];
    }
    time = t.subarray(0, kept);
    values = v.subarray(0, kept);
    spacing_s = step;
  }
  return { time_s: time, value: values, spacing_s };
}

/**
 * The sensor's own interval: the median spacing where spacings are alike, else a low percentile of them, which finds it
 * even where most samples are lost.
 */
function ownInterval(time_s: Float64Array): number {
  if (time_s.length < 2) return Infinity;
  const gaps = new Float64Array(time_s.length - 1);
  for (let i = 0; i < gaps.length; i++) gaps[i] = time_s[i + 1] - time_s[i];
  gaps.sort();
  const at = (share: number) => gaps[Math.floor(gaps.length * share)];
  return at(0.75) - at(0.25) < 0.8 * at(0.5) ? at(0.5) : at(0.02);
}

/** Step of a quantised reading: the smallest difference of two values, where all differences are whole multiples of it; else 0. */
function resolution(value: Float64Array): number {
  const few = stepOf(value.slice(0, 48));
  return few > 0 ? stepOf(value.slice()) : 0;
}

function stepOf(sorted: Float64Array): number {
  sorted.sort();
  const range = sorted[sorted.length - 1] - sorted[0];
  if (!(range > 0)) return Infinity;
  let step = Infinity;
  for (let i = 1; i < sorted.length; i++) {
    const difference = sorted[i] - sorted[i - 1];
    if (difference > 1e-6 * range && difference < step) step = difference;
  }
  for (let i = 1; i < sorted.length; i++) {
    const steps = (sorted[i] - sorted[i - 1]) / step;
    if (Math.abs(steps - Math.round(steps)) > 0.02) return 0;
  }
  return step;
}

/** Looks at one peak with the other indices. */
function examine(time_s: Float64Array, rest: Float64Array, spacing_s: number, peak: SpectralPeak) {
  const n = time_s.length;
  const span = time_s[n - 1] - time_s[0];
  const period = refinePeriod(time_s, rest, peak.period_s);
  const spectral = {
    lombScargleShare: peak.share,
    lombScargleProminence: Math.min(peak.prominence, 1e9),
    lombScargleFalseAlarm: peak.falseAlarm,
  };
  if ((n * spacing_s) / span < 0.5) {
    // Most samples are missing: crossings and correlations have too little to stand on, phases have enough.
    const keeping = phaseKeeping(time_s, rest, period);
    return {
      period_s: period,
      agreed: keeping > oscillationLimits.phaseKeeping && peak.share > oscillationLimits.sparseShare,
      indices: { ...spectral, phaseKeeping: keeping },
    };
  }
  // Bins of a sixteenth of the period leave the cycle whole and average the noise of long periods away.
  const step = Math.max(spacing_s, period / 16);
  const bins = Math.ceil(span / step) + 1;
  const perCycle = (n / span) * period;
  const grid = binMeans(time_s, rest, time_s[0] - step / 2, step, bins, Math.max(period / 3, 2.01 * step));
  const slow = movingMean(grid, Math.max(3, 2 * Math.round(period / step / 2) + 1));
  const quick = Math.max(1, 2 * Math.floor(period / step / 8) + 1);
  const level = movingMean(
    grid.map((v, i) => v - slow[i]),
    quick,
  );
  const rho = gappyCorrelation(
    level,
    level,
    Math.min(bins - 1, Math.round(Math.min(span * 0.6, 8 * period) / step)),
  );
  const lags = rho.subarray((rho.length - 1) / 2);
  const dense = perCycle >= 3.5;
  const regularity = thornhillRegularity(lags, step);
  const decay = miaoSeborgRatio(lags, step, period);
  let covered = 0;
  for (let i = 0; i < bins; i++) if (Number.isFinite(level[i])) covered += step;
  const halves = dense ? halfCycles(level, step) : null;
  const similarity = halves ? forsmanStattinShare(halves) : null;
  const fit = fitSine(time_s, rest, period);
  const loads = halves && fit ? haegglundShare(halves, 0.5 * fit.amplitude, period, covered) : null;
  const nearPeriod = regularity !== null && Math.abs(regularity.period_s / period - 1) < 0.25;
  const votes = [
    regularity === null ? null : regularity.regularity > oscillationLimits.thornhill && nearPeriod,
    decay === null ? null : decay > oscillationLimits.miaoSeborg,
    similarity === null ? null : similarity > oscillationLimits.forsmanStattin,
    loads === null ? null : loads > oscillationLimits.haegglund,
  ];
  const cast = votes.filter((vote) => vote !== null);
  const yes = cast.filter((vote) => vote).length;
  return {
    period_s: period,
    agreed: yes >= 1 && yes * 2 > cast.length,
    indices: {
      ...spectral,
      thornhillRegularity: regularity?.regularity ?? null,
      thornhillPeriod_s: regularity?.period_s ?? null,
      miaoSeborgDecay: decay,
      forsmanStattinSimilarity: similarity,
      haegglundLoadShare: loads,
    },
  };
}

/**
 * How well a cycle keeps its phase: length of the sum of the cycle's phasors in eighths of the span (quarters under
 * eight cycles) over the sum of their lengths, 0..1 (after Rayleigh's test of directions).
 */
function phaseKeeping(time_s: Float64Array, value: Float64Array, period_s: number): number {
  const n = time_s.length;
  const span = time_s[n - 1] - time_s[0];
  const parts = span / period_s >= 8 ? 8 : 4;
  const c = new Float64Array(parts);
  const s = new Float64Array(parts);
  for (let i = 0; i < n; i++) {
    const part = Math.min(parts - 1, Math.floor(((time_s[i] - time_s[0]) / span) * parts));
    const angle = (2 * Math.PI * (time_s[i] - time_s[0])) / period_s;
    c[part] += value[i] * Math.cos(angle);
    s[part] += value[i] * Math.sin(angle);
  }
  let cosine = 0;
  let sine = 0;
  let lengths = 0;
  for (let part = 0; part < parts; part++) {
    cosine += c[part];
    sine += s[part];
    lengths += Math.hypot(c[part], s[part]);
  }
  return lengths > 0 ? Math.hypot(cosine, sine) / lengths : 0;
}

/** Whether most of what moves is a swing of which the series holds fewer cycles than a verdict needs, but more than one and a half. */
function swingTooSlow(
  time_s: Float64Array,
  value: Float64Array,
  span: number,
  fewestCycles: number,
  longest_s: number,
): boolean {
  const coarse = 48;
  const step = span / coarse;
  const grid = binMeans(time_s, value, time_s[0], step * 1.0001, coarse, 0);
  const places: number[] = [];
  const means: number[] = [];
  grid.forEach((mean, i) => {
    if (!Number.isFinite(mean)) return;
    places.push((i + 0.5) * step);
    means.push(mean);
  });
  const rest = withoutTrend(places, means, 1);
  for (let cycles = 1.75; cycles < fewestCycles; cycles += 0.25) {
    const period = span / cycles;
    if (period > longest_s * 2) continue;
    const fit = fitSine(places, rest, period);
    if (fit && fit.share > 0.7) return true;
  }
  return false;
}
