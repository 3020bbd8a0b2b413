import { spacingsOf } from '../numerics/index.js';
import { gappyCorrelation } from '../signals/autocorrelation.js';
import { withoutTrend } from '../signals/detrend.js';
import { lombScarglePower } from '../signals/lomb-scargle.js';
import { meansOnGrid, movingMean } from '../signals/resample.js';
import { superheatSeries } from '../superheat/index.js';
import { preparedFor, type JudgeWindowInput } from '../steadiness/windows/judge-window.js';
import { operatingStatesOf, type Span } from '../steadiness/windows/operating-states.js';
import type { OperatingState } from '../steadiness/windows/window-judgement.js';
import type { CircuitSeries } from '../telemetry/circuit-series.js';
import { detectOscillation, type OscillationVerdict } from './detection/detect-oscillation.js';
import { indexReadings, type IndexReading } from './detection/indices/index-readings.js';

/** Plain data for the pictures of one window: the trace with its cycles, how it repeats, its periods, and the valve's part. */
export interface WindowPicture {
  trace: {
    time_s: number[];
    superheat_K: (number | null)[];
    valveOpening_pct: (number | null)[];
    state: OperatingState[];
  };
  verdict: OscillationVerdict;
  readings: IndexReading[];
  /** Cycles of the superheat from crest to crest. */
  cycles: SuperheatCycle[];
  /** Autocorrelation of the steady superheat with its drift taken off. */
  autocorrelation: { lag_s: number[]; value: (number | null)[] } | null;
  /** Normalised Lomb-Scargle power over period. */
  spectrum: { period_s: number[]; power: number[]; found_s: number | null } | null;
  /** Opening against superheat: the samples, and the mean cycle folded at the found period. */
  loop: {
    valveOpening_pct: number[];
    superheat_K: number[];
    meanCycle: { valveOpening_pct: number; superheat_K: number }[];
  };
}

export interface SuperheatCycle {
  from_s: number;
  to_s: number;
  crest_K: number;
  trough_K: number;
}

/** Computed on request from a window's telemetry; see `WindowPicture`. */
export function windowPicture(input: {
  series: CircuitSeries;
  refrigerant: string;
  unit?: JudgeWindowInput['unit'];
  window?: Span;
  powerLost?: readonly Span[];
}): WindowPicture {
  const { refrigerant } = input;
  const { series, habits } = preparedFor(input);
  const { state } = operatingStatesOf(series, { ...input, habits });
  const superheat_K = superheatSeries(refrigerant, series);
  const steady = superheat_K.map((value, i) => (state[i] === 'steady' ? value : NaN));
  const verdict = detectOscillation({ time_s: series.time_s, value: steady });
  const time: number[] = [];
  const value: number[] = [];
  steady.forEach((v, i) => {
    if (!Number.isFinite(v)) return;
    time.push(series.time_s[i]);
    value.push(v);
  });
  const enough = time.length >= 40;
  const rest = enough ? withoutTrend(time, value, 3) : new Float64Array(0);
  const orNull = (v: number): number | null => (Number.isFinite(v) ? v : null);
  return {
    trace: {
      time_s: [...series.time_s],
      superheat_K: [...superheat_K].map(orNull),
      valveOpening_pct: [...series.valveOpening_pct].map(orNull),
      state,
    },
    verdict,
    readings: indexReadings(verdict.indices),
    cycles: verdict.period_s === null ? [] : cyclesOf(series.time_s, steady, verdict.period_s),
    autocorrelation: enough ? autocorrelationOf(time, rest) : null,
    spectrum: enough ? spectrumOf(time, rest, verdict.period_s) : null,
    loop: loopOf(series, steady, verdict.period_s),
  };
}

function autocorrelationOf(
  time_s: number[],
  rest: Float64Array,
): { lag_s: number[]; value: (number | null)[] } {
  const span = time_s[time_s.length - 1] - time_s[0];
  const gaps = spacingsOf(time_s).sort();
  const step = Math.max(gaps[gaps.length >> 1], span / 2000);
  const grid = meansOnGrid(time_s, rest, time_s[0] - step / 2, step, Math.ceil(span / step) + 1, 2.01 * step);
  const lags = Math.floor(span / 2 / step);
  const both = gappyCorrelation(grid, grid, lags);
  const value: (number | null)[] = [];
  for (let k = 0; k <= lags; k++) value.push(Number.isFinite(both[lags + k]) ? both[lags + k] : null);
  return { lag_s: value.map((_, k) => k * step), value };
}

function spectrumOf(time_s: number[], rest: Float64Array, found_s: number | null) {
  const span = time_s[time_s.length - 1] - time_s[0];
  let squares = 0;
  for (const v of rest) squares += v * v;
  const shortest = Math.max(40, (3 * span) / (time_s.length - 1));
  const longest = Math.min(1800, span / 2);
  const period_s: number[] = [];
  const power: number[] = [];
  const points = longest > shortest ? 240 : 0;
  for (let k = 0; k < points; k++) {
    const period = shortest * (longest / shortest) ** (k / (points - 1));
    period_s.push(period);
    power.push(squares > 0 ? (2 * lombScarglePower(time_s, rest, period)) / squares : 0);
  }
  if (found_s !== null) {
    const at = period_s.findIndex((period) => period > found_s);
    const place = at < 0 ? period_s.length : at;
    period_s.splice(place, 0, found_s);
    power.splice(place, 0, (2 * lombScarglePower(time_s, rest, found_s)) / squares);
  }
  return { period_s, power, found_s };
}

function cyclesOf(time_s: Float64Array, steady: Float64Array, period_s: number): SuperheatCycle[] {
  const span = time_s[time_s.length - 1] - time_s[0];
  const step = Math.max(span / (time_s.length - 1), period_s / 24);
  const start = time_s[0] - step / 2;
  const grid = meansOnGrid(time_s, steady, start, step, Math.ceil(span / step) + 1, 2.01 * step);
  const perPeriod = period_s / step;
  const slow = movingMean(grid, 2 * Math.round(perPeriod / 2) + 1);
  const calm = movingMean(
    grid.map((v, i) => v - slow[i]),
    2 * Math.floor(perPeriod / 8) + 1,
  );
  const reach = Math.max(1, Math.round(0.35 * perPeriod));
  // A rise that the window or a hole cuts off is no crest: an eighth of a cycle must be seen on both sides.
  const beside = Math.max(1, Math.round(perPeriod / 8));
  const crests: number[] = [];
  for (let i = 0; i < calm.length; i++) {
    if (!(calm[i] > 0)) continue;
    let highest = true;
    for (let k = 1; highest && k <= beside; k++)
      if (!Number.isFinite(calm[i - k]) || !Number.isFinite(calm[i + k])) highest = false;
    for (let k = Math.max(0, i - reach); highest && k <= Math.min(calm.length - 1, i + reach); k++)
      if (calm[k] > calm[i] || (calm[k] === calm[i] && k < i)) highest = false;
    if (highest) crests.push(i);
  }
  const cycles: SuperheatCycle[] = [];
  for (let c = 1; c < crests.length; c++) {
    const [from, to] = [crests[c - 1], crests[c]];
    if (to - from > 1.6 * perPeriod) continue;
    let trough = Infinity;
    for (let i = from; i <= to; i++) if (grid[i] < trough) trough = grid[i];
    cycles.push({
      from_s: start + (from + 0.5) * step,
      to_s: start + (to + 0.5) * step,
      crest_K: grid[from],
      trough_K: trough,
    });
  }
  return cycles;
}

function loopOf(series: CircuitSeries, steady: Float64Array, period_s: number | null): WindowPicture['loop'] {
  const valveOpening_pct: number[] = [];
  const superheat_K: number[] = [];
  const phases = 24;
  const sums = Array.from({ length: phases }, () => ({ n: 0, opening: 0, superheat: 0 }));
  for (let i = 0; i < steady.length; i++) {
    const opening = series.valveOpening_pct[i];
    if (!Number.isFinite(steady[i]) || !Number.isFinite(opening)) continue;
    valveOpening_pct.push(opening);
    superheat_K.push(steady[i]);
    if (period_s === null) continue;
    const cycles = (series.time_s[i] - series.time_s[0]) / period_s;
    const bin = sums[Math.min(phases - 1, Math.floor((cycles - Math.floor(cycles)) * phases))];
    bin.n++;
    bin.opening += opening;
    bin.superheat += steady[i];
  }
  const meanCycle = sums
    .filter((bin) => bin.n > 0)
    .map((bin) => ({ valveOpening_pct: bin.opening / bin.n, superheat_K: bin.superheat / bin.n }));
  return { valveOpening_pct, superheat_K, meanCycle };
}
