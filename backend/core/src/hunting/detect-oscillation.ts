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
  /** Time of a crest after the epoch of `time_s`, s, 0..period. */
  crest_s: number | null;
}

/** Limits of the published indices and of the verdict that is taken from all of them. */
export const oscillationLimits = {
  falseAlarm: 1e-4,
  leastShare: 0.08,
  thornhill: 1,
  miaoSeborg: 0.5,
  forsmanStattin: 0.4,
  haegglund: 0.6,
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
  const { time_s, value, spacing_s } = usable(series.time_s, series.value);
  const n = time_s.length;
  const fewestCycles = options.fewestCycles ?? 4;
  if (n < (options.fewestSamples ?? 40)) return unknown();
  const span = time_s[n - 1] - time_s[0];
  const shortest = Math.max(options.shortestPeriod_s ?? 40, 3 * spacing_s);
  const longest = Math.min(options.longestPeriod_s ?? 1800, (span * (1 + 1 / n)) / fewestCycles);
  if (longest <= shortest * 1.2) return unknown();
  const rest = withoutTrend(time_s, withoutStep(withoutTrend(time_s, value, 1)), 3);
  const peaks = spectralPeaks(time_s, rest, shortest, longest, oscillationLimits.falseAlarm);
  let shown: Record<string, number | null> | null = null;
  for (const peak of peaks.slice(0, 3)) {
    if (peak.share < oscillationLimits.leastShare) break;
    const examined = examine(time_s, rest, spacing_s, peak);
    shown ??= examined.indices;
    if (!examined.agreed) continue;
    const fit = fitSine(time_s, rest, examined.period_s);
    if (!fit) continue;
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
  return {
    oscillating: false,
    period_s: null,
    amplitude: null,
    indices: shown ?? { lombScargleFalseAlarm: 1, lombScargleShare: null },
    cycles: null,
    crest_s: null,
  };
}

/** Finite samples, averaged into bins where they come faster than the shortest period needs. */
function usable(time_s: ArrayLike<number>, value: ArrayLike<number>) {
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
  let spacing_s = lowSpacing(time);
  if (spacing_s < 5 && count > 100) {
    const step = 10;
    const start = time[0];
    const bins = Math.floor((time[count - 1] - start) / step) + 1;
    const means = binMeans(time, values, start, step, bins, 0);
    let kept = 0;
    for (let i = 0; i < bins; i++) {
      if (!Number.isFinite(means[i])) continue;
      t[kept] = start + (i + 0.5) * step;
      v[kept++] = means[i];
    }
    time = t.subarray(0, kept);
    values = v.subarray(0, kept);
    spacing_s = step;
  }
  return { time_s: time, value: values, spacing_s };
}

/** A low percentile of the spacings: the sensor's own interval, even where most samples are lost. */
function lowSpacing(time_s: Float64Array): number {
  if (time_s.length < 2) return Infinity;
  const gaps = new Float64Array(time_s.length - 1);
  for (let i = 0; i < gaps.length; i++) gaps[i] = time_s[i + 1] - time_s[i];
  return gaps.sort()[Math.floor(gaps.length * 0.05)];
}

function examine(time_s: Float64Array, rest: Float64Array, spacing_s: number, peak: SpectralPeak) {
  const n = time_s.length;
  const span = time_s[n - 1] - time_s[0];
  const period = refinePeriod(time_s, rest, peak.period_s);
  // Bins of a sixteenth of the period leave the cycle whole and average the noise of long periods away.
  const step = Math.max(spacing_s, period / 16);
  const bins = Math.ceil(span / step) + 1;
  const perCycle = (n / span) * period;
  const grid = binMeans(time_s, rest, time_s[0] - step / 2, step, bins, period / 3);
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
  const halves = dense ? halfCycles(level, step) : null;
  const similarity = halves ? forsmanStattinShare(halves) : null;
  const fit = fitSine(time_s, rest, period);
  const loads = halves && fit ? haegglundShare(halves, 0.5 * fit.amplitude, period, span) : null;
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
      lombScargleShare: peak.share,
      lombScargleProminence: Math.min(peak.prominence, 1e9),
      lombScargleFalseAlarm: peak.falseAlarm,
      thornhillRegularity: regularity?.regularity ?? null,
      thornhillPeriod_s: regularity?.period_s ?? null,
      miaoSeborgDecay: decay,
      forsmanStattinSimilarity: similarity,
      haegglundLoadShare: loads,
    },
  };
}

/** Whether most of what moves is a swing of which the series holds fewer cycles than a verdict needs, but more than one and a half. */
function swingTooSlow(
  time_s: Float64Array,
  value: Float64Array,
  span: number,
  fewestCycles: number,
  longest_s: number,
): boolean {
  const rest = withoutTrend(time_s, value, 1);
  for (let cycles = 1.75; cycles < fewestCycles; cycles += 0.25) {
    const period = span / cycles;
    if (period > longest_s * 1.05) continue;
    const fit = fitSine(time_s, rest, period);
    if (fit && fit.share > 0.7) return true;
  }
  return false;
}
