import {
  emptyCircuitSeries,
  type CircuitEntry,
  type CircuitSeries,
  type ModuleEntry,
} from '../telemetry/index.js';
import type { ClosingJudgement, ClosingTrace } from './closing/index.js';
import type { ModuleReadings } from './resting/index.js';

/** Plain modules, closings and readings for the unit tests beside; every figure is invented. */
const sensor = { minimum: 0, maximum: 1, tolerance: 0 };

/** 2000 steps at 400 steps/s: 5 s from fully open, 5.5 s with 10 % overdrive. */
export const circuit: CircuitEntry = {
  number: 1,
  valve: { size: 'kv-2.5', kv_m3_h: 2.5, fullStroke_steps: 2000, rate_steps_s: 400, motors: 1 },
  suctionPressure: { ...sensor, reference: 'absolute' },
  dischargePressure: { ...sensor, reference: 'absolute' },
  suctionTemperature: sensor,
  dischargeTemperature: sensor,
  liquidTemperature: sensor,
  floodbackLimit_K: 2,
  safetyMargin_K: 1,
};

/** A full closing of `circuit` needs 8 W for 5.5 s: 44 J. */
export const module: ModuleEntry = {
  number: 1,
  circuits: [1],
  cellsInSeries: 8,
  ratedVoltage_V: 20,
  minimumVoltage_V: 9,
  ratedCapacitance_F: 1,
  ratedEsr_Ohm: 0.5,
  drivePower_W: 8,
  overdrive_pct: 10,
  installedOn: '2025-01-01',
};

export const day_s = 86_400;
export const start_s = Date.UTC(2025, 0, 10) / 1000;

/** A judged self-test that went well; `changed` overrides. */
export const closing = (day: number, changed: Partial<ClosingJudgement> = {}): ClosingJudgement => ({
  startedAt_s: start_s + day * day_s,
  kind: 'self-test',
  kindSeen: true,
  temperature_K: 298.15,
  samples: 120,
  sampling_s: 0.05,
  capacitance_F: 1,
  capacitanceUncertainty_F: 0.005,
  capacitanceMethod: 'least-squares',
  esr_Ohm: 0.5,
  esrUncertainty_Ohm: 0.01,
  current_A: 0.42,
  drivePower_W: 8,
  voltageBefore_V: 20,
  voltageAfter_V: 17.8,
  voltageLowest_V: 17.6,
  energyUsed_J: 44,
  driveTime_s: 5.5,
  openingBefore_pct: 100,
  openingAfter_pct: 0,
  timeToShut_s: 5,
  shut: true,
  proof: true,
  energyExpected_J: 44,
  limits: [],
  ...changed,
});

/** Small repeatable scatter, of zero mean over any five days in a row. */
export const wobble = (day: number): number => [0, 0.004, -0.003, 0.002, -0.003][day % 5]!;

/** Daily tests, the temperature going up and down by 6 K over the weeks. */
export const dailyTests = (
  days: number,
  of: (day: number, temperature_K: number) => Partial<ClosingJudgement> = () => ({}),
): ClosingJudgement[] =>
  Array.from({ length: days }, (_, day) => {
    const temperature_K = 298.15 + 6 * Math.sin(day / 9);
    return closing(day, { temperature_K, capacitance_F: 1 + wobble(day), ...of(day, temperature_K) });
  });

/** A reading each minute of a full, quiet module on mains, `change` laid over it. */
export function readings(
  from_s: number,
  minutes: number,
  change: (
    minute: number,
    time_s: number,
  ) => Partial<Record<Exclude<keyof ModuleReadings, 'time_s'>, number>> = () => ({}),
): ModuleReadings {
  const column = () => new Float64Array(minutes);
  const out: ModuleReadings = {
    time_s: column(),
    voltage_V: column(),
    current_A: column(),
    temperature_K: column(),
    mains: column(),
    health: column(),
  };
  for (let i = 0; i < minutes; i++) {
    const time_s = from_s + 60 * i;
    const row = {
      voltage_V: 20,
      current_A: -0.0002,
      temperature_K: 298.15,
      mains: 1,
      health: 1,
      ...change(i, time_s),
    };
    out.time_s[i] = time_s;
    for (const name of ['voltage_V', 'current_A', 'temperature_K', 'mains', 'health'] as const)
      out[name][i] = row[name];
  }
  return out;
}

export const noReadings = readings(start_s, 0);

/** Samples of a circuit every `step_s`; what `at` leaves out was not sent. */
export function circuitSeries(
  from_s: number,
  to_s: number,
  step_s: number,
  at: (time_s: number) => Partial<Record<Exclude<keyof CircuitSeries, 'time_s'>, number>>,
): CircuitSeries {
  const n = Math.floor((to_s - from_s) / step_s) + 1;
  const series = emptyCircuitSeries(n);
  for (let i = 0; i < n; i++) {
    series.time_s[i] = from_s + i * step_s;
    for (const [name, value] of Object.entries(at(series.time_s[i]!)))
      series[name as Exclude<keyof CircuitSeries, 'time_s'>][i] = value;
  }
  return series;
}

/**
 * A closing at a constant current of 1 A from 2 F behind 0.5 Ohm at 20 V: half a second of rest, five seconds of drive
 * in which the valve goes from 50 % by `pct_s` per second, and two of rest.
 */
export function trace(
  options: { pct_s?: number; step_s?: number; withCurrent?: boolean } = {},
): ClosingTrace {
  const { pct_s = 10, step_s = 0.05, withCurrent = true } = options;
  const time_s: number[] = [];
  const voltage_V: number[] = [];
  const current_A: (number | null)[] = [];
  const valveOpening_pct: number[] = [];
  for (let k = -Math.round(0.5 / step_s); k <= Math.round(7 / step_s); k++) {
    const t = k * step_s;
    const drawn_s = Math.min(5, Math.max(0, t));
    const on = t >= 0 && t <= 5 ? 1 : 0;
    time_s.push(t);
    voltage_V.push(20 - drawn_s / 2 - 0.5 * on);
    current_A.push(withCurrent ? on : null);
    valveOpening_pct.push(Math.max(0, 50 - pct_s * drawn_s));
  }
  return { time_s, voltage_V, current_A, valveOpening_pct };
}
