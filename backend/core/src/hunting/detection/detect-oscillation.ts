import { withoutStep, withoutTrend } from '../../signals/detrend.js';
import { checkSeries } from '../../signals/series-error.js';
import { examinePeak } from './peak/examine-peak.js';
import { oscillationLimits } from './oscillation-limits.js';
import { readingResolution } from './reading-resolution.js';
import { swingTooSlow } from './slow-swing.js';
import { spectralPeaks } from './peak/spectral-peak.js';
import { usableSamples } from './usable-samples.js';

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
  const { time_s, value, spacing_s } = usableSamples(
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
    if (peak.normalisedPower < oscillationLimits.leastFraction) break;
    const examined = examinePeak(time_s, rest, spacing_s, peak);
    shown ??= examined.indices;
    if (!examined.agreed) continue;
    const { fit } = examined;
    // A slow drift read in coarse steps makes a saw of half a step.
    if (!fit || fit.amplitude < 0.7 * readingResolution(value)) continue;
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

const unknown = (indices: Record<string, number | null> = {}): OscillationVerdict => ({
  oscillating: null,
  period_s: null,
  amplitude: null,
  indices,
  cycles: null,
  crest_s: null,
});

const quiet = (indices: Record<string, number | null> | null): OscillationVerdict => ({
  oscillating: false,
  period_s: null,
  amplitude: null,
  indices: indices ?? { lombScargleFalseAlarm: 1, lombScarglePower: null },
  cycles: null,
  crest_s: null,
});
