import { select, spacingsOf } from '../../numerics/index.js';
import type { CircuitSeries } from '../../telemetry/circuit-series.js';
import { shownWithin, type SeriesHabits } from '../../habits/signal/signal-habit.js';
import { operatingModesOf, type OperatingMode } from '../../modes/operating-modes.js';
import { runningSamples } from '../../modes/running.js';
import type { UnitEntry } from '../../telemetry/registry.js';
import { operatingStates, type OperatingState, type StateMinutes } from './window-judgement.js';

/** A stretch of time, s since the epoch. */
export interface Span {
  from_s: number;
  to_s: number;
}

export interface OperatingStates {
  state: OperatingState[];
  /** Time that each sample stands for, s. */
  weight_s: Float64Array;
  minutes: StateMinutes;
  interval_s: number | null;
}

export interface StatesContext {
  /** Left out: running and standing are told, other modes are not. */
  refrigerant?: string | undefined;
  unit?: Pick<UnitEntry, 'reversible'> | undefined;
  /** How the signals are sent, where it is known. */
  habits?: SeriesHabits | undefined;
  powerLost?: readonly Span[] | undefined;
  window?: Span | undefined;
}

/** Time after a start before superheat is judged, and before a stop from which it is not; common practice, no source. */
export const settling = {
  start_s: 600,
  stop_s: 120,
  change_s: 300,
  loadStep_pct: 12,
  setpointStep_K: 0.5,
  shortestRun_s: 1200,
};

/**
 * Rows further apart than this do not show a start or a stop where it was: a mean over the interval has a part of either
 * in it, and a stop of minutes may not show at all. Then the limits grow with the interval. Judgement, no source.
 */
const coarse = { from_s: 120, stops: 2, runs: 6 };

const settlingAt = (interval_s: number): typeof settling =>
  interval_s < coarse.from_s
    ? settling
    : {
        ...settling,
        start_s: settling.start_s + interval_s,
        stop_s: Math.max(settling.stop_s, coarse.stops * interval_s),
        change_s: settling.change_s + interval_s,
        shortestRun_s: Math.max(settling.shortestRun_s, coarse.runs * interval_s),
      };

/**
 * What the circuit was doing at each sample, from the data alone.
 *
 * Standing, cooling, reversed, defrosting or pumping down as `operatingModesOf` tells. Starting: the first ten minutes
 * of cooling after standing, reversed running or a defrost, and a run of under twenty minutes as a whole: what is left of
 * it is of the start or of the stop, the more so where clocks are apart or minutes averaged. Stopping: the last two
 * minutes before them.
 * Changing: five minutes to either side of a lasting change of load (12 points between five-minute means) or of the
 * setpoint (0.5 K); a load that goes to and fro four times or more is not a change but a swing, and stays steady running.
 * Where rows are minutes apart, all these times are longer, and a load that differs from row to row is none that was
 * resolved: it is changing, to and fro or not.
 * Power lost: inside `powerLost`. Silent: samples further apart than a minute or six intervals, and samples without
 * suction pressure or temperature.
 */
export function operatingStatesOf(series: CircuitSeries, context: StatesContext = {}): OperatingStates {
  const n = series.time_s.length;
  const minutes = Object.fromEntries(operatingStates.map((name) => [name, 0])) as StateMinutes;
  const interval_s = medianSpacing(series.time_s);
  const gap_s = Math.max(60, 6 * (interval_s ?? 10));
  const state = new Array<OperatingState>(n);
  const weight_s = new Float64Array(n);
  const modes = modesOf(series, context);
  let silent_s = 0;
  for (let i = 0; i < n; i++) {
    const until =
      i + 1 < n ? series.time_s[i + 1] : (context.window?.to_s ?? series.time_s[i] + (interval_s ?? 0));
    const length = until - series.time_s[i];
    weight_s[i] = length > gap_s ? (interval_s ?? 0) : Math.max(0, length);
    silent_s += Math.max(0, length - weight_s[i]);
    state[i] = stateOfMode[modes[i]];
  }
  if (context.window)
    silent_s +=
      n > 0
        ? Math.max(0, series.time_s[0] - context.window.from_s)
        : context.window.to_s - context.window.from_s;
  const rows_s = Math.max(interval_s ?? 0, context.habits?.rowInterval_s ?? 0);
  const limits = settlingAt(rows_s);
  markStartsAndStops(series.time_s, state, limits);
  markShortRuns(series.time_s, state, limits);
  markChanges(series, state);
  if (rows_s >= coarse.from_s) markUnresolved(series, state, limits);
  for (const span of context.powerLost ?? [])
    for (let i = 0; i < n; i++)
      if (series.time_s[i] >= span.from_s && series.time_s[i] < span.to_s) state[i] = 'power-lost';
  for (let i = 0; i < n; i++) {
    const read =
      Number.isFinite(series.suctionPressure_Pa[i]) && Number.isFinite(series.suctionTemperature_K[i]);
    if (!read && state[i] !== 'power-lost') state[i] = 'silent';
    minutes[state[i]] += weight_s[i] / 60;
  }
  minutes.silent += silent_s / 60;
  return { state, weight_s, minutes, interval_s };
}

function medianSpacing(time_s: Float64Array): number | null {
  if (time_s.length < 2) return null;
  const gaps = spacingsOf(time_s);
  return select(gaps, gaps.length >> 1);
}

const stateOfMode: Record<OperatingMode, OperatingState> = {
  standing: 'standing',
  cooling: 'steady',
  reversed: 'reversed',
  defrost: 'defrost',
  'pump-down': 'pump-down',
};

function modesOf(series: CircuitSeries, { refrigerant, unit, habits }: StatesContext): OperatingMode[] {
  if (refrigerant === undefined)
    return Array.from(runningSamples(series), (on) => (on === 0 ? 'standing' : 'cooling'));
  const signals = habits?.signals;
  if (!signals) return operatingModesOf(series, { refrigerant, unit });
  return operatingModesOf(series, {
    refrigerant,
    unit,
    shown: {
      water_K: Math.max(
        shownWithin(signals.enteringWaterTemperature_K),
        shownWithin(signals.leavingWaterTemperature_K),
      ),
      suctionTemperature_K: shownWithin(signals.suctionTemperature_K),
      suctionPressure_Pa: shownWithin(signals.suctionPressure_Pa),
    },
  });
}

function markStartsAndStops(
  time_s: Float64Array,
  state: OperatingState[],
  { start_s, stop_s }: typeof settling,
): void {
  let startedAt = -Infinity;
  let stood = false;
  for (let i = 0; i < state.length; i++) {
    if (state[i] === 'standing' || state[i] === 'reversed' || state[i] === 'defrost') {
      stood = true;
      startedAt = -Infinity;
      for (let k = i - 1; k >= 0 && isCooling(state[k]) && time_s[i] - time_s[k] <= stop_s; k--)
        state[k] = 'stopping';
    } else if (state[i] !== 'pump-down') {
      if (stood) startedAt = time_s[i];
      stood = false;
      if (time_s[i] - startedAt < start_s) state[i] = 'starting';
    }
  }
}

/** A run that ends in a stop before anything can have settled; one that the beginning of the series cuts, too. */
function markShortRuns(
  time_s: Float64Array,
  state: OperatingState[],
  { shortestRun_s }: typeof settling,
): void {
  const n = state.length;
  for (let from = 0; from < n;) {
    let to = from;
    while (to < n && runs(state[to]) === runs(state[from])) to++;
    const stops = to < n && state[to] === 'standing';
    if (runs(state[from]) && stops && time_s[to - 1] - time_s[from] < shortestRun_s)
      for (let i = from; i < to; i++) if (state[i] === 'steady') state[i] = 'starting';
    from = to;
  }
}

const runs = (state: OperatingState): boolean =>
  state === 'steady' || state === 'starting' || state === 'stopping' || state === 'pump-down';

const isCooling = (state: OperatingState): boolean => state === 'steady' || state === 'starting';

function markChanges(series: CircuitSeries, state: OperatingState[]): void {
  const time_s = series.time_s;
  const load = lastingSteps(series.compressorLoad_pct, time_s, state, settling.loadStep_pct);
  const setpoint = lastingSteps(series.superheatSetpoint_K, time_s, state, settling.setpointStep_K);
  for (const at of [...load, ...setpoint])
    for (let i = 0; i < state.length; i++)
      if (state[i] === 'steady' && Math.abs(time_s[i] - at) <= settling.change_s) state[i] = 'changing';
}

/** By so much of itself the ratio of the pressures must change. Judgement, no source. */
const ratioStep = 0.15;

/** Running around rows between which the load steps, or the ratio of the pressures: a load may be sent held. */
function markUnresolved(
  series: CircuitSeries,
  state: OperatingState[],
  { change_s, loadStep_pct }: typeof settling,
): void {
  const { time_s, compressorLoad_pct, dischargePressure_Pa, suctionPressure_Pa } = series;
  const ratio = suctionPressure_Pa.map((low_Pa, i) => Math.log(dischargePressure_Pa[i] / low_Pa));
  for (const [value, least] of [
    [compressorLoad_pct, loadStep_pct],
    [ratio, Math.log1p(ratioStep)],
  ] as const) {
    let before = NaN;
    let from = 0;
    for (let i = 0; i < value.length; i++) {
      if (!Number.isFinite(value[i])) continue;
      if (Math.abs(value[i] - before) >= least) {
        while (time_s[from] < time_s[i] - change_s) from++;
        for (let k = from; k < state.length && time_s[k] <= time_s[i] + change_s; k++)
          if (state[k] === 'steady') state[k] = 'changing';
      }
      before = value[i];
    }
  }
}

/** Times at which the mean of the next five minutes differs from that of the last five by at least `least`; none where it swings to and fro. */
function lastingSteps(
  value: Float64Array,
  time_s: Float64Array,
  state: OperatingState[],
  least: number,
): number[] {
  const n = time_s.length;
  const sums = new Float64Array(n + 1);
  const counts = new Uint32Array(n + 1);
  let lowest = Infinity;
  let highest = -Infinity;
  for (let i = 0; i < n; i++) {
    const counted = state[i] === 'steady' && Number.isFinite(value[i]);
    sums[i + 1] = sums[i] + (counted ? value[i] : 0);
    counts[i + 1] = counts[i] + (counted ? 1 : 0);
    if (counted && value[i] < lowest) lowest = value[i];
    if (counted && value[i] > highest) highest = value[i];
  }
  if (!(highest - lowest >= least)) return [];
  const steps: { at: number; size: number }[] = [];
  let from = 0;
  let to = 0;
  for (let i = 1; i < n; i++) {
    while (time_s[i] - time_s[from] > settling.change_s) from++;
    while (to < n && time_s[to] - time_s[i] < settling.change_s) to++;
    const before = counts[i] - counts[from];
    const after = counts[to] - counts[i];
    if (before < 3 || after < 3) continue;
    const size = (sums[to] - sums[i]) / after - (sums[i] - sums[from]) / before;
    if (Math.abs(size) < least) continue;
    const last = steps[steps.length - 1];
    if (last && time_s[i] - last.at < settling.change_s && Math.sign(size) === Math.sign(last.size)) {
      if (Math.abs(size) > Math.abs(last.size)) steps[steps.length - 1] = { at: time_s[i], size };
    } else steps.push({ at: time_s[i], size });
  }
  let turns = 0;
  for (let k = 1; k < steps.length; k++)
    if (Math.sign(steps[k].size) !== Math.sign(steps[k - 1].size)) turns++;
  return turns >= 4 ? [] : steps.map((step) => step.at);
}
