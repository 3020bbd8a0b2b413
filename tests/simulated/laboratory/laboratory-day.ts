import { emptyCircuitSeries, type CircuitSeries } from '@coldrounds/core';
import { normalDraws, seededRandom } from '../../../backend/core/src/numerics/index.js';
import {
  channels,
  steadyReadings,
  type Changes,
  type Channel,
  type Condition,
  type LaboratoryChiller,
} from './laboratory-chiller.js';

/** How a day on the stand is run and recorded. */
export interface Day {
  fault?: Changes;
  step_s?: number;
  dwell_min?: number;
  without?: readonly Channel[];
  /** How much further than usual machine and instruments are from the day that was learned. */
  apart?: number;
  /** The corners of the grid lie that much further out, in a quarter of its width. */
  outside?: number;
  /** Minutes of standby before the first condition: pressures equal, the oil's heater on. */
  standby_min?: number;
}

/** 27 conditions: chilled water at three temperatures, three loads, cooling water at three that go with the load. */
export function gridOf(random: () => number, outside = 0): Condition[] {
  const all: Condition[] = [];
  const spread = 1 + outside / 2;
  const about = (centre: number, value: number) => centre + (value - centre) * spread;
  for (const chilled of [283.15, 280.35, 277.6])
    for (const level of [2, 1, 0])
      for (const load of [0.92, 0.62, 0.32])
        all.push({
          load: Math.min(1.02, about(0.62, load)) * (1 + 0.04 * (random() - 0.5)),
          cooling_K: about(296.5, 289.2 + 5.5 * load + 4.4 * level) + 0.6 * (random() - 0.5),
          chilled_K: about(280.35, chilled) + 0.2 * (random() - 0.5),
        });
  return all;
}

/**
 * A day's record: ramps and settling between conditions, the swing of the water's control, flows that are set by hand
 * and wander, noise with a memory of a minute or two, steps of the logger, plateaus that a machine does not repeat (oil,
 * levels), and instruments and machine that are not quite what they were on another day.
 */
export function laboratoryDay(chiller: LaboratoryChiller, seed: number, day: Day = {}): CircuitSeries {
  const random = seededRandom(Math.imul(seed + 3, 0xc2b2ae35));
  for (let i = 0; i < 16; i++) random();
  const normal = normalDraws(random);
  const step_s = day.step_s ?? 30;
  const conditions = gridOf(random, day.outside);
  const rows = Math.round(((day.dwell_min ?? 35) * 60) / step_s);
  const standby = Math.round(((day.standby_min ?? 0) * 60) / step_s);
  const series = emptyCircuitSeries(standby + conditions.length * rows);
  const start_s = 1.78e9 + 86_400 * Math.floor(random() * 300);
  series.time_s.forEach((_, i) => (series.time_s[i] = start_s + i * step_s));
  const apart = day.apart ?? 1;
  const fault = day.fault ?? {};
  const offset = Object.fromEntries(channels.map((name) => [name, apart * normal() * dailyOffset(name)]));
  const today: Changes = scaled(apart, {
    condenserFlow: 0.004 * normal(),
    evaporatorFlow: 0.004 * normal(),
    boiling: 0.015 * normal(),
    condensing: 0.01 * normal(),
    charge: 0.002 * normal(),
    efficiency: 0.002 * normal(),
    superheat_K: 0.1 * normal(),
  });
  const repeat = { boiling: 0, condensing: 0, charge: 0, efficiency: 0, superheat_K: 0 };
  const noise = new Float64Array(channels.length);
  let held: Condition | null = null;
  let before: number[] | null = null;
  for (let i = 0; i < standby; i++)
    writeRow(series, i, standbyReadings(chiller), offset, noise, step_s, normal, day);
  conditions.forEach((condition, c) => {
    // First-order memory from one condition to the next.
    const sizes = { boiling: 0.012, condensing: 0.008, charge: 0.003, efficiency: 0.002, superheat_K: 0.12 };
    for (const name of Object.keys(repeat) as (keyof typeof repeat)[])
      repeat[name] = 0.6 * repeat[name] + 0.8 * sizes[name] * normal();
    const changes = added(fault, today, repeat);
    const base = valuesAt(chiller, condition, changes);
    const slopes = slopesAt(chiller, condition, changes, base);
    const settle_s = 150 + 150 * random();
    const ramp_s = held === null ? 0 : 240 * random();
    const [swing, period_s] = [0.04 + 0.12 * random(), 240 + 360 * random()];
    const creep = 0.15 * normal();
    let [load, flowE, flowC] = [0, 0, 0];
    for (let k = 0; k < rows; k++) {
      const time = k * step_s;
      const keep = Math.exp(-step_s / 120);
      load = keep * load + Math.sqrt(1 - keep ** 2) * 0.008 * normal();
      flowE = 0.98 * flowE + 0.2 * 0.003 * normal();
      flowC = 0.98 * flowC + 0.2 * 0.003 * normal();
      const wave = swing * Math.sin((2 * Math.PI * time) / period_s);
      const along = [load, wave, creep * (k / rows - 0.5), flowE, flowC];
      const there = base.map((value, i) => value + along.reduce((sum, by, m) => sum + by * slopes[m][i], 0));
      const gone = before === null ? 1 : settled(time, ramp_s, settle_s);
      const from = before ?? there;
      const values = there.map((value, i) => from[i] + gone * (value - from[i]));
      writeRow(series, standby + c * rows + k, values, offset, noise, step_s, normal, day);
    }
    held = condition;
    before = base;
  });
  return series;
}

const scaled = (by: number, changes: Changes): Changes =>
  Object.fromEntries(Object.entries(changes).map(([name, value]) => [name, by * (value as number)]));

function added(...all: Changes[]): Changes {
  const sum: Record<string, number> = {};
  for (const one of all)
    for (const [name, value] of Object.entries(one)) sum[name] = (sum[name] ?? 0) + (value as number);
  return sum;
}

const valuesAt = (chiller: LaboratoryChiller, condition: Condition, changes: Changes): number[] => {
  const readings = steadyReadings(chiller, condition, changes);
  return channels.map((name) => readings[name]);
};

/** What load (a share), leaving water, entering cooling water (kelvin) and the two flows (shares) move, linearly. */
function slopesAt(chiller: LaboratoryChiller, at: Condition, changes: Changes, base: number[]): number[][] {
  const moved = [
    valuesAt(chiller, { ...at, load: at.load * 1.01 }, changes),
    valuesAt(chiller, { ...at, chilled_K: at.chilled_K + 0.1 }, changes),
    valuesAt(chiller, { ...at, cooling_K: at.cooling_K + 0.1 }, changes),
    valuesAt(chiller, at, added(changes, { evaporatorFlow: -0.01 })),
    valuesAt(chiller, at, added(changes, { condenserFlow: -0.01 })),
  ];
  const by = [0.01, 0.1, 0.1, 0.01, 0.01];
  return moved.map((values, m) => values.map((value, i) => (value - base[i]) / by[m]));
}

/** A ramp of the setpoint, followed by a first-order lag. */
function settled(time_s: number, ramp_s: number, lag_s: number): number {
  if (ramp_s <= 0) return 1 - Math.exp(-time_s / lag_s);
  const response = (t: number) => (t <= 0 ? 0 : t - lag_s * (1 - Math.exp(-t / lag_s)));
  return (response(time_s) - response(time_s - ramp_s)) / ramp_s;
}

const standbyReadings = (chiller: LaboratoryChiller): number[] => {
  const at = steadyReadings(chiller, { load: 0.4, cooling_K: 295, chilled_K: 283 });
  return channels.map((name) =>
    name.endsWith('_Pa')
      ? 560e3
      : name === 'compressorPower_W'
        ? 1200
        : name.endsWith('_K')
          ? 293.15
          : at[name],
  );
};

/** Standard deviation of what an instrument reads otherwise on another day: kelvin, pascal, or a share. */
const dailyOffset = (name: Channel): number =>
  name.endsWith('_K') ? 0.025 : name.endsWith('_Pa') ? 500 : name.endsWith('_W') ? 0.003 : 0.002;
/** Noise of one sample likewise, and the logger's steps. */
const noiseOf = (name: Channel): number =>
  name.endsWith('_K') ? 0.06 : name.endsWith('_Pa') ? 1200 : name.endsWith('_W') ? 0.008 : 0.012;
const stepOf = (name: Channel): number =>
  name.endsWith('_K') ? 0.1 / 1.8 : name.endsWith('_Pa') ? 689.476 : 0;

function writeRow(
  series: CircuitSeries,
  row: number,
  values: readonly number[],
  offset: Record<string, number>,
  noise: Float64Array,
  step_s: number,
  normal: () => number,
  { without }: Day,
): void {
  const keep = Math.exp(-step_s / 60);
  channels.forEach((name, i) => {
    noise[i] = keep * noise[i] + Math.sqrt(1 - keep * keep) * normal();
    if (without?.includes(name)) return;
    const share = !name.endsWith('_K') && !name.endsWith('_Pa');
    const off = offset[name] + noiseOf(name) * noise[i];
    const value = share ? values[i] * (1 + off) : values[i] + off;
    const step = stepOf(name);
    series[name][row] = step > 0 ? Math.round(value / step) * step : value;
  });
}
