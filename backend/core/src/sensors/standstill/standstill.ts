import { saturationCurve } from '../../refrigerants/index.js';
import type { CircuitSeries } from '../../telemetry/circuit-series.js';
import { medianOf, runningFlags, stretchesOf, type Stretch } from '../running/running-state.js';

/** What the instruments showed while the circuit stood and had settled: medians over the calmest half hour. */
export interface SettledStandstill {
  from_s: number;
  to_s: number;
  /** How long the circuit had stood at the start of that half hour. */
  stoodFor_s: number;
  pumpRunning: boolean;
  suctionPressure_Pa: number;
  dischargePressure_Pa: number;
  suctionTemperature_K: number;
  dischargeTemperature_K: number;
  liquidTemperature_K: number;
  enteringWaterTemperature_K: number;
  leavingWaterTemperature_K: number;
  ambientTemperature_K: number;
  /** Of the water that leaves the condenser, or the air that enters it; NaN where neither is sent. */
  condenserTemperature_K?: number;
  /** Fastest of the settling temperatures, K/h. */
  drift_K_h: number;
}

const window_s = 1800;
const stride_s = 600;
const shortestStand_s = 5400;
const soonest_s = 3600;
/** Above this drift, the sides are still on their way and say nothing about instruments. */
const settledDrift_K_h = 0.8;

const columns = [
  'suctionPressure_Pa',
  'dischargePressure_Pa',
  'suctionTemperature_K',
  'dischargeTemperature_K',
  'liquidTemperature_K',
  'enteringWaterTemperature_K',
  'leavingWaterTemperature_K',
  'ambientTemperature_K',
] as const;

/**
 * The calmest half hour of every standstill of at least 90 minutes, an hour after the stop at the soonest; standstills
 * that never settle (0.8 K/h) are left out. A shell loses its cold to the room with a time constant of half an hour to
 * an hour, so that at this drift it is within about half a kelvin of its surroundings.
 *
 * An evaporator that was emptied before the stop holds no liquid, and its pressure is no saturation pressure: it is left out.
 */
export function settledStandstills(
  refrigerant: string,
  series: CircuitSeries,
  flags: Uint8Array = runningFlags(series),
): SettledStandstill[] {
  const out: SettledStandstill[] = [];
  const stands = stretchesOf(series, flags, 0, shortestStand_s);
  for (const { stop, from, to } of stands.flatMap((stand) => unbroken(series, stand))) {
    let best: SettledStandstill | null = null;
    const stopped_s = series.time_s[stop];
    const end_s = series.time_s[to - 1];
    const first_s = Math.max(stopped_s + soonest_s, series.time_s[from]);
    let lower = from;
    for (let start_s = first_s; start_s + window_s <= end_s + 1; start_s += stride_s) {
      while (series.time_s[lower] < start_s) lower++;
      let upper = lower;
      while (upper < to && series.time_s[upper] < start_s + window_s) upper++;
      if (upper - lower < 12) continue;
      const seen = settledWindow(refrigerant, series, lower, upper);
      seen.stoodFor_s = start_s - stopped_s;
      if (!best || seen.drift_K_h < best.drift_K_h) best = seen;
    }
    if (!best || best.drift_K_h > settledDrift_K_h) continue;
    if (isEmptied(series, flags, stop, best)) best.suctionPressure_Pa = NaN;
    out.push(best);
  }
  return out;
}

/** Soonest after the stop at which a jump counts: until then pressures equalise, s. */
const equalised_s = 1800;
/** What no pipe at rest does from one row to the next, K; a pressure likewise, as a fraction. Judgement, no source. */
const jump = { temperature_K: 3, pressure: 0.25, row_s: 300 };
const pipes = ['suctionTemperature_K', 'dischargeTemperature_K', 'liquidTemperature_K'] as const;
const sides = ['suctionPressure_Pa', 'dischargePressure_Pa'] as const;

/**
 * The parts of a standstill between rows at which several instruments of the circuit jump together. Metal and liquid at
 * rest do not, so that the gateway sends them otherwise from there on (in another unit, of another machine), and neither
 * part tells of the other. A part that is too short for a settled stretch is left out.
 */
function unbroken(series: CircuitSeries, { from, to }: Stretch): (Stretch & { stop: number })[] {
  const { time_s } = series;
  const parts: (Stretch & { stop: number })[] = [];
  let begin = from;
  for (let i = from + 1; i <= to; i++) {
    if (i < to && !(time_s[i] - time_s[from] >= equalised_s && jumpsTogether(series, i))) continue;
    if (time_s[i - 1] - time_s[begin] >= shortestStand_s) parts.push({ stop: from, from: begin, to: i });
    begin = i;
  }
  return parts;
}

/** Whether two or more instruments jump before `row`, and stay there: not one wrong sample among right ones. */
function jumpsTogether(series: CircuitSeries, row: number): boolean {
  const { time_s } = series;
  if (row < 2 || time_s[row] - time_s[row - 1] > jump.row_s) return false;
  const next = Math.min(row + 1, time_s.length - 1);
  const jumps = (values: Float64Array, isFar: (a: number, b: number) => boolean) =>
    isFar(values[row - 1], values[row]) &&
    [row - 2, row - 1].every((before) => [row, next].every((after) => isFar(values[before], values[after])));
  const moved =
    pipes.filter((name) => jumps(series[name], (a, b) => Math.abs(b - a) > jump.temperature_K)).length +
    sides.filter((name) => jumps(series[name], (a, b) => Math.abs(Math.log(b / a)) > jump.pressure)).length;
  return moved >= 2;
}

const beforeStop_s = 1800;

/**
 * Where liquid is left, suction pressure rises after a stop: it boils at the water's temperature then, above which no
 * evaporator that cooled it ran. Standing at or under its running level by the same transducer, whatever that one's error,
 * there is no liquid to boil. False where no cooling before the stop is known.
 */
function isEmptied(series: CircuitSeries, flags: Uint8Array, stop: number, seen: SettledStandstill): boolean {
  const running: number[] = [];
  for (let i = stop - 1; i >= 0 && series.time_s[stop] - series.time_s[i] <= beforeStop_s; i--)
    if (flags[i] === 1) running.push(series.suctionPressure_Pa[i]);
  return seen.suctionPressure_Pa <= medianOf(running, 12);
}

function settledWindow(
  refrigerant: string,
  series: CircuitSeries,
  from: number,
  to: number,
): SettledStandstill {
  const span_h = (series.time_s[to - 1] - series.time_s[from]) / 3600;
  const third = Math.floor((to - from) / 3);
  const { temperature } = saturationCurve(refrigerant, 'dew');
  const medianBetween = (values: Float64Array, a: number, b: number) => medianOf(values.subarray(a, b), 3);
  const drift = (values: Float64Array, as: (value: number) => number) => {
    const early = as(medianBetween(values, from, from + third));
    const late = as(medianBetween(values, to - third, to));
    const rate = Math.abs(late - early) / ((span_h * 2) / 3);
    return Number.isFinite(rate) ? rate : 0;
  };
  const seen = {
    from_s: series.time_s[from],
    to_s: series.time_s[to - 1],
    stoodFor_s: 0,
    pumpRunning: medianBetween(series.waterFlow_m3_s, from, to) > 0,
  } as SettledStandstill;
  for (const column of columns) seen[column] = medianBetween(series[column], from, to);
  const leaving_K = medianBetween(series.condenserLeavingTemperature_K, from, to);
  seen.condenserTemperature_K = Number.isFinite(leaving_K)
    ? leaving_K
    : medianBetween(series.condenserEnteringTemperature_K, from, to);
  seen.drift_K_h = Math.max(
    drift(series.suctionPressure_Pa, temperature),
    drift(series.dischargePressure_Pa, temperature),
    drift(series.suctionTemperature_K, Number),
    drift(series.dischargeTemperature_K, Number),
    drift(series.ambientTemperature_K, Number) / 2,
  );
  return seen;
}
