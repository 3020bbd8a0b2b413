import type { CircuitEntry, ClosingJudgement, ModuleEntry, ModuleReadings } from '@coldrounds/core';
import { normalDraws } from '@coldrounds/core/numerics';

/**
 * Backup modules that age, made here on purpose without the analysis, from which it takes the random numbers alone: capacitance fades with
 * temperature-weighted age, the temperature swings with the season and the weather, every test scatters.
 */
export interface FleetModule {
  module: ModuleEntry;
  circuits: CircuitEntry[];
  closings: ClosingJudgement[];
  kind: 'healthy' | 'accelerated' | 'sudden';
  /** First test after the sudden loss. */
  suddenIndex: number | null;
  /** Coldest temperature of any test. */
  coldest_K: number;
  /** True time at which the reserve from fully open at the coldest temperature falls under a limit; Infinity: not within 40 years. */
  trueDate_s(limit: number): number;
  trueReserve(time_s: number): number;
}

export const day_s = 86400;
export const start_s = Date.UTC(2025, 0, 1) / 1000;

const valve = { size: 'kv-6.3', kv_m3_h: 6.3, fullStroke_steps: 2600, rate_steps_s: 430, motors: 1 as const };
const sensor = { minimum: 0, maximum: 1, tolerance: 0 };

export const circuit: CircuitEntry = {
  number: 1,
  valve,
  suctionPressure: { ...sensor, reference: 'absolute' },
  dischargePressure: { ...sensor, reference: 'absolute' },
  suctionTemperature: sensor,
  dischargeTemperature: sensor,
  liquidTemperature: sensor,
  floodbackLimit_K: 2,
  safetyMargin_K: 1,
};

export const module: ModuleEntry = {
  number: 1,
  circuits: [1],
  cellsInSeries: 8,
  ratedVoltage_V: 20,
  minimumVoltage_V: 9,
  ratedCapacitance_F: 1,
  ratedEsr_Ohm: 0.35,
  drivePower_W: 6.5,
  overdrive_pct: 10,
  installedOn: '2024-12-20',
};

/** Energy of one closing from fully open: steps over rate times power. */
export const closing_J =
  (((1 + module.overdrive_pct / 100) * valve.fullStroke_steps) / valve.rate_steps_s) * module.drivePower_W;

/** Energy down to the minimum voltage at constant power, by stepping the voltage: no closed form here. */
export function usable_J(c: number, r: number): number {
  const p = module.drivePower_W;
  let v = module.ratedVoltage_V;
  let energy = 0;
  const dt = 0.02;
  for (;;) {
    const d = v * v - 4 * p * r;
    if (d < 0) return energy;
    const terminal = (v + Math.sqrt(d)) / 2;
    if (terminal < module.minimumVoltage_V) return energy;
    energy += p * dt;
    v -= (p / terminal / c) * dt;
  }
}

/** What one module of a fleet has of its own. */
export interface ModuleTraits {
  mean_K: number;
  swing_K: number;
  phase: number;
  /** Of capacitance (linear) and of ESR (exponential) with temperature, 1/K. */
  alpha: number;
  beta: number;
  /** New, at 25 degrees. */
  c0: number;
  r0: number;
  /** Of capacitance from test to test, as a fraction. */
  scatter: number;
}

/** Draws a module: the mean of its temperature over the year and the swing about it between these ends. */
export function drawTraits(
  between: (a: number, b: number) => number,
  mean_C: [number, number],
  swing_K: [number, number],
): ModuleTraits {
  return {
    mean_K: 273.15 + between(...mean_C),
    swing_K: between(...swing_K),
    phase: between(0, 2 * Math.PI),
    alpha: between(0.0004, 0.0018),
    beta: between(-0.012, -0.005),
    c0: module.ratedCapacitance_F * between(0.9, 1.1),
    r0: module.ratedEsr_Ohm * between(0.9, 1.2),
    scatter: between(0.006, 0.02),
  };
}

const warmed = ({ alpha, beta }: ModuleTraits, T: number, c: number, r: number) =>
  [c * (1 + alpha * (T - 298.15)), r * Math.exp(beta * (T - 298.15))] as const;

/** A test at a temperature of a module that has this capacitance and ESR at 25 degrees. */
export function testOf(
  own: ModuleTraits,
  time_s: number,
  T: number,
  c25: number,
  r25: number,
  gauss: () => number,
): ClosingJudgement {
  const [c, r] = warmed(own, T, c25, r25);
  return closingOf(time_s, T, c * (1 + own.scatter * gauss()), r * (1 + 0.05 * gauss()), own.scatter);
}

/** Usable energy over that of one closing from fully open. */
export function reserveAt(own: ModuleTraits, T: number, c25: number, r25: number): number {
  return usable_J(...warmed(own, T, c25, r25)) / closing_J;
}

/** The first of the days after `low` of which something holds that holds of all days from then on, `high` among them. */
export function firstDay(low: number, high: number, holds: (day: number) => boolean): number {
  while (high - low > 1) {
    const middle = (low + high) >> 1;
    if (holds(middle)) high = middle;
    else low = middle;
  }
  return high;
}

export interface FleetOptions {
  days: number;
  everyDays?: number;
  kind: FleetModule['kind'];
  /** Course of the fade: straight or exponential in weighted age. */
  shape?: 'straight' | 'exponential';
  /** True doubling temperature of life. */
  doubling_K?: number;
  /** When accelerated ageing sets in, days; from the start if left out. */
  onset_d?: number;
}

export function simulateModule(random: () => number, options: FleetOptions): FleetModule {
  const { days, kind, shape = 'straight', doubling_K = 10, everyDays = 1, onset_d = 0 } = options;
  const gauss = normalDraws(random);
  const between = (a: number, b: number) => a + (b - a) * random();
  const own = drawTraits(between, [22, 38], [3, 10]);
  const { mean_K, swing_K, phase, c0, r0 } = own;
  const season = (t: number) =>
    mean_K + swing_K * Math.sin((2 * Math.PI * (t - start_s)) / (365.25 * day_s) + phase);
  const rate = (T: number) => 2 ** ((T - 298.15) / doubling_K);
  let yearly = 0;
  for (let d = 0; d < 365; d++) yearly += rate(season(start_s + d * day_s)) / 365;
  // Loss of capacitance per year at the module's own mean speed of ageing.
  const slow = between(0.005, 0.03) / yearly;
  const fast = kind === 'accelerated' ? between(0.15, 0.45) / yearly : slow;

  // Weather: a day's deviation that remembers the day before.
  let weather = 0;
  const temperature: number[] = [];
  const loss: number[] = [];
  let lost = 0;
  const horizon = Math.max(days + 1, 40 * 366);
  const far: number[] = [];
  for (let d = 0; d < horizon; d++) {
    weather = 0.75 * weather + 2.5 * gauss();
    const T = season(start_s + d * day_s) + weather;
    lost += ((d < onset_d ? slow : fast) * rate(T)) / 365.25;
    if (d <= days) {
      temperature.push(T);
      loss.push(lost);
    }
    far.push(lost);
  }
  const suddenDay = kind === 'sudden' ? Math.floor(between(30, days - 1)) : null;
  const suddenC = between(0.6, 0.85);
  const suddenR = between(1, 1.6);
  const left = (value: number) => (shape === 'straight' ? Math.max(0.02, 1 - value) : Math.exp(-value));
  const cAt = (d: number, value: number) =>
    c0 * left(value) * (suddenDay !== null && d >= suddenDay ? suddenC : 1);
  const rAt = (d: number, value: number) =>
    (r0 * (suddenDay !== null && d >= suddenDay ? suddenR : 1)) / Math.max(0.2, left(value)) ** 2;

  const closings: ClosingJudgement[] = [];
  let suddenIndex: number | null = null;
  let coldest_K = Infinity;
  for (let d = 0; d <= days; d += everyDays) {
    const T = temperature[d]!;
    coldest_K = Math.min(coldest_K, T);
    if (suddenDay !== null && d >= suddenDay && suddenIndex === null) suddenIndex = closings.length;
    closings.push(testOf(own, start_s + d * day_s, T, cAt(d, loss[d]!), rAt(d, loss[d]!), gauss));
  }
  const reserveOnDay = (d: number) => reserveAt(own, coldest_K, cAt(d, far[d]!), rAt(d, far[d]!));
  return {
    module,
    circuits: [circuit],
    closings,
    kind,
    suddenIndex,
    coldest_K,
    trueReserve: (t) => reserveOnDay(Math.min(horizon - 1, Math.round((t - start_s) / day_s))),
    trueDate_s: (limit) => {
      if (reserveOnDay(horizon - 1) > limit) return Infinity;
      return start_s + firstDay(0, horizon - 1, (d) => reserveOnDay(d) <= limit) * day_s;
    },
  };
}

export function closingOf(
  time_s: number,
  T: number,
  c: number,
  r: number,
  scatter: number,
): ClosingJudgement {
  return {
    startedAt_s: time_s,
    kind: 'self-test',
    kindSeen: true,
    temperature_K: T,
    samples: 200,
    sampling_s: 0.03,
    capacitance_F: c,
    capacitanceUncertainty_F: c * scatter,
    capacitanceMethod: 'least-squares',
    esr_Ohm: r,
    esrUncertainty_Ohm: r * 0.05,
    current_A: 0.34,
    drivePower_W: module.drivePower_W,
    voltageBefore_V: 20,
    voltageAfter_V: 17.7,
    voltageLowest_V: 17.6,
    energyUsed_J: closing_J,
    driveTime_s: 6.65,
    openingBefore_pct: 40,
    openingAfter_pct: 0,
    timeToShut_s: 3,
    shut: true,
    proof: true,
    energyExpected_J: closing_J / 2,
    limits: [],
  };
}

/** A week of a full, healthy module at rest, ending at `now_s`, as the 60 s telemetry would show it. */
export function restingReadings(
  now_s: number,
  temperature_K: number,
  options: { days?: number; step_s?: number } = {},
): ModuleReadings {
  const { days = 7, step_s = 60 } = options;
  const n = Math.floor((days * day_s) / step_s);
  const fill = (value: number) => new Float64Array(n).fill(value);
  return {
    time_s: Float64Array.from({ length: n }, (_, i) => now_s - (n - 1 - i) * step_s),
    voltage_V: fill(20),
    current_A: fill(-0.0003),
    temperature_K: fill(temperature_K),
    mains: fill(1),
    health: fill(1),
  };
}
