import { filled } from '../../numerics/index.js';
import { gappyCorrelation } from '../../signals/autocorrelation.js';
import { withoutTrend } from '../../signals/detrend.js';
import { meansOnGrid, movingMean } from '../../signals/resample.js';
import { checkSeries } from '../../signals/series-error.js';
import { fitSine } from '../../signals/sine-fit.js';
import { detectOscillation } from '../detection/detect-oscillation.js';

export interface OscillationOrigin {
  origin: 'valve-friction' | 'not-valve-friction' | 'undecided';
  indices: Record<string, number | null>;
}

export interface CrossCorrelationShape {
  /** |tau_l - tau_r| / (tau_l + tau_r) of the zero crossings to either side of lag zero. */
  deltaTau: number;
  /** | |rho(0)| - |rho|max | / (|rho(0)| + |rho|max), the largest taken between the crossings. */
  deltaRho: number;
}

/**
 * Horch's indices of a cross-correlation sampled at even lags -m..m around lag zero (entry m).
 * Null where it does not cross zero on both sides.
 */
export function crossCorrelationShape(
  correlation: Float64Array,
  step_s: number,
): CrossCorrelationShape | null {
  const zero = (correlation.length - 1) / 2;
  const side = (direction: 1 | -1): number | null => {
    for (let k = zero; k + direction >= 0 && k + direction < correlation.length; k += direction) {
      const a = correlation[k];
      const b = correlation[k + direction];
      if (!Number.isFinite(b)) return null;
      if (a === 0) return Math.abs(k - zero) * step_s;
      if (a * b < 0) return (Math.abs(k - zero) + a / (a - b)) * step_s;
    }
    return null;
  };
  const right = side(1);
  const left = side(-1);
  if (right === null || left === null || left + right === 0) return null;
  let top = zero;
  const last = zero + Math.floor(right / step_s);
  for (let k = zero - Math.floor(left / step_s); k <= last; k++)
    if (Math.abs(correlation[k]) > Math.abs(correlation[top])) top = k;
  const here = Math.abs(correlation[top]);
  const below = Math.abs(correlation[top - 1]);
  const above = Math.abs(correlation[top + 1]);
  const bend = below - 2 * here + above;
  const largest =
    bend < 0 && here >= below && here >= above ? here - (below - above) ** 2 / (8 * bend) : here;
  const atZero = Math.abs(correlation[zero]);
  return {
    deltaTau: Math.abs(left - right) / (left + right),
    deltaRho: Math.abs(atZero - largest) / (atZero + largest),
  };
}

/**
 * Friction in the valve against anything else (Horch 1999, Control Eng. Practice 7:1221), from the cross-correlation of
 * the valve opening, which is the controller's output, with the value it controls. Odd about lag zero (delta tau > 2/3 and
 * delta rho > 1/3): friction. Even (delta tau < 1/3 and delta rho < 0.072): tuning or an outside disturbance, which it does
 * not tell apart. Between, or without an oscillation in which both take part: undecided.
 */
export function oscillationOrigin(series: {
  time_s: ArrayLike<number>;
  value: ArrayLike<number>;
  valveOpening_pct: ArrayLike<number>;
}): OscillationOrigin {
  checkSeries(series.time_s, { value: series.value, valveOpening_pct: series.valveOpening_pct });
  const verdict = detectOscillation(series);
  if (!verdict.oscillating)
    return { origin: 'undecided', indices: { deltaTau: null, deltaRho: null, period_s: null } };
  return originAtPeriod(series, verdict.period_s!);
}

/** The same where the period is known already. */
export function originAtPeriod(
  series: { time_s: ArrayLike<number>; value: ArrayLike<number>; valveOpening_pct: ArrayLike<number> },
  period_s: number,
): OscillationOrigin {
  const value = prepare(series.time_s, series.value, period_s);
  const opening = prepare(series.time_s, series.valveOpening_pct, period_s);
  const undecided: OscillationOrigin = {
    origin: 'undecided',
    indices: {
      deltaTau: null,
      deltaRho: null,
      period_s,
      openingVarianceFraction: opening?.varianceFraction ?? null,
    },
  };
  if (!value || !opening) return undecided;
  const correlation = gappyCorrelation(opening.grid, value.grid, Math.ceil(period_s / value.step_s));
  const shape = crossCorrelationShape(correlation, value.step_s);
  if (!shape) return undecided;
  const { deltaTau, deltaRho } = shape;
  const indices = { deltaTau, deltaRho, period_s, openingVarianceFraction: opening.varianceFraction };
  if (opening.varianceFraction < 0.1) return { origin: 'undecided', indices };
  if (deltaTau > 2 / 3 && deltaRho > 1 / 3) return { origin: 'valve-friction', indices };
  if (deltaTau < 1 / 3 && deltaRho < 0.072) return { origin: 'not-valve-friction', indices };
  return { origin: 'undecided', indices };
}

/** Centred values on an even grid fine enough for the period; null where the signal does not move. */
function prepare(time_s: ArrayLike<number>, value: ArrayLike<number>, period_s: number) {
  const times = new Float64Array(time_s.length);
  const values = new Float64Array(time_s.length);
  let count = 0;
  for (let i = 0; i < time_s.length; i++) {
    if (!Number.isFinite(value[i])) continue;
    times[count] = time_s[i];
    values[count++] = value[i];
  }
  if (count < 20) return null;
  const t = times.subarray(0, count);
  const v = values.subarray(0, count);
  const rest = withoutTrend(t, v, 1);
  const fit = fitSine(t, rest, period_s);
  if (!fit || !(fit.amplitude > 1e-9)) return null;
  const first = time_s[0];
  const last = time_s[time_s.length - 1];
  const spacing = (last - first) / (time_s.length - 1);
  const step_s = Math.max(spacing, period_s / 60);
  const bins = Math.ceil((last - first) / step_s) + 1;
  const grid = meansOnGrid(t, rest, first - step_s / 2, step_s, bins, period_s / 4);
  const slow = movingMean(grid, 2 * Math.round(period_s / step_s / 2) + 1);
  return { grid: filled(bins, (i) => grid[i] - slow[i]), step_s, varianceFraction: fit.varianceFraction };
}
