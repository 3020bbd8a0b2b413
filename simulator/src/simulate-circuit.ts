import {
  emptyCircuitSeries,
  type CircuitEntry,
  type CircuitSeries,
  type UnitEntry,
} from '@coldrounds/core/telemetry';
import { defaultStart_s, modelOf, type CircuitCase } from './circuit-case.js';
import { clockAhead_s } from './faults/clock-drift.js';
import type { Fault } from './faults/fault.js';
import { createSender, type SendingHabits, type ValueKind } from './gateway/sending.js';
import { advanceUnit } from './physics/unit/advance-unit.js';
import { atmosphere_Pa } from './physics/unit/environment.js';
import { readCircuit, readWater, type Reading, type WaterReading } from './physics/unit/instruments.js';
import { createRandom, seedOf } from './physics/random.js';
import { steadyFloor_K } from './physics/circuit/steady-floor.js';
import type { UnitModel } from './physics/unit/unit-model.js';
import { newUnit, step_s, type UnitState } from './physics/unit/unit-state.js';

export interface CircuitTruth {
  faults: Fault[];
  /** Refrigerant really in the circuit. */
  refrigerant: string;
  /** True superheat at each sample, K: what a perfect instrument would show; 0 while liquid arrives. */
  superheat_K: Float64Array;
  /** Liquid that reached the compressor, kg/s at each sample. */
  liquidCarry_kg_s: Float64Array;
  stem_pct: Float64Array;
  /** The lowest superheat that the circuit holds steadily, over load (shares of full load). */
  floor: { load: number; superheat_K: number }[];
}

export interface SimulatedCircuit {
  /** Values as the store would hold them: absolute pressures after the registry's (possibly wrong) reference. */
  series: CircuitSeries;
  truth: CircuitTruth;
  entry: CircuitEntry;
  unit: UnitEntry;
  /** The unit's other circuits over the same times. */
  neighbours: CircuitSeries[];
}

/**
 * Simulates one circuit (with its unit around it) at 1 s and returns its telemetry at 10 s, and the truth.
 *
 * Deterministic by seed. About 0.3 s per circuit and week.
 * @example simulateCircuit({ seed: 1, days: 2, faults: [{ kind: 'valve-friction', stick_pct: 5 }] })
 */
export function simulateCircuit(input: CircuitCase): SimulatedCircuit {
  const model = modelOf(input);
  const days = input.days ?? 1;
  const start_s = input.start_s ?? defaultStart_s;
  const rows = Math.round((days * 86_400) / step_s);
  const all = model.circuits.map(() => emptyCircuitSeries(rows));
  const superheat_K = new Float64Array(rows);
  const liquidCarry_kg_s = new Float64Array(rows);
  const stem_pct = new Float64Array(rows);

  // A day before the series settles what depends on the day before.
  const state = newUnit(model, start_s - 86_400);
  while (state.time_s < start_s - step_s) advanceUnit(model, state);
  const water = {} as WaterReading;
  for (let row = 0; row < rows; row++) {
    advanceUnit(model, state);
    if (row === 0 || state.time_s % 60 === 0) readWater(model, state, water);
    for (let i = 0; i < all.length; i++) collectRow(model, state, i, water, all[i], row);
    const first = state.circuits[0];
    superheat_K[row] = first.superheat_K;
    liquidCarry_kg_s[row] = first.liquidCarry_kg_s;
    stem_pct[row] = first.stem_pct;
  }
  const keep = keptRows(rows, input);
  if (input.sending) for (const [i, one] of all.entries()) sendRows(one, keep, i, input.sending, input.seed);
  driftClock(model, all);
  for (const one of all) for (const name of input.notSent ?? []) one[name].fill(NaN);
  const [series, ...neighbours] = all.map((one) => kept(one, keep));
  return {
    series,
    neighbours,
    entry: model.entry.circuits[0],
    unit: model.entry,
    truth: {
      faults: model.faults,
      refrigerant: model.circuits[0].design.refrigerant,
      superheat_K: rowsKept(superheat_K, keep),
      liquidCarry_kg_s: rowsKept(liquidCarry_kg_s, keep),
      stem_pct: rowsKept(stem_pct, keep),
      floor: [0.3, 0.5, 0.7, 0.9, 1].map((load) => ({
        load,
        superheat_K: steadyFloor_K(model.circuits[0].design, load),
      })),
    },
  };
}

/** Passes the rows through the gateway's habits; what it does not send is NaN, a row of nothing is not kept. */
function sendRows(
  series: CircuitSeries,
  keep: Uint8Array,
  circuit: number,
  habits: SendingHabits,
  seed: number,
): void {
  const columns = sentColumns.map(({ name }) => series[name]);
  const sender = createSender(
    sentColumns.map(({ kind }) => kind),
    habits,
    seedOf(seed, 'gateway', circuit),
    step_s,
  );
  const values = new Float64Array(columns.length);
  for (let row = 0; row < keep.length; row++) {
    for (let i = 0; i < columns.length; i++) values[i] = columns[i][row];
    if (!sender.pass(series.time_s[row], values) && circuit === 0) keep[row] = 0;
    for (let i = 0; i < columns.length; i++) columns[i][row] = values[i];
  }
}

const sentColumns: readonly { name: Exclude<keyof CircuitSeries, 'time_s'>; kind: ValueKind }[] = [
  { name: 'suctionPressure_Pa', kind: 'pressure' },
  { name: 'suctionTemperature_K', kind: 'temperature' },
  { name: 'valveOpening_pct', kind: 'opening' },
  { name: 'dischargePressure_Pa', kind: 'pressure' },
  { name: 'dischargeTemperature_K', kind: 'temperature' },
  { name: 'liquidTemperature_K', kind: 'temperature' },
  { name: 'superheatSetpoint_K', kind: 'setpoint' },
  { name: 'compressorLoad_pct', kind: 'load' },
  { name: 'enteringWaterTemperature_K', kind: 'temperature' },
  { name: 'leavingWaterTemperature_K', kind: 'temperature' },
  { name: 'waterFlow_m3_s', kind: 'flow' },
  { name: 'ambientTemperature_K', kind: 'temperature' },
  { name: 'condenserEnteringTemperature_K', kind: 'temperature' },
  { name: 'condenserLeavingTemperature_K', kind: 'temperature' },
  { name: 'condenserFlow_m3_s', kind: 'flow' },
  { name: 'condenserFanSpeed_pct', kind: 'load' },
  { name: 'compressorPower_W', kind: 'power' },
];

const reading = {} as Reading;

/** Reads one circuit's sensors into a row, pressures absolute as the store holds them. */
function collectRow(
  model: UnitModel,
  state: UnitState,
  circuit: number,
  water: WaterReading,
  series: CircuitSeries,
  row: number,
): void {
  const entry = model.entry.circuits[circuit];
  const air_Pa = atmosphere_Pa(model.site.altitude_m);
  const lift = (reference: string) => (reference === 'gauge' ? air_Pa : 0);
  readCircuit(model, state, circuit, reading);
  series.time_s[row] = state.time_s;
  series.suctionPressure_Pa[row] = reading.suctionPressure_Pa + lift(entry.suctionPressure.reference);
  series.dischargePressure_Pa[row] = reading.dischargePressure_Pa + lift(entry.dischargePressure.reference);
  series.suctionTemperature_K[row] = reading.suctionTemperature_K;
  series.valveOpening_pct[row] = reading.valveOpening_pct;
  series.dischargeTemperature_K[row] = reading.dischargeTemperature_K;
  series.liquidTemperature_K[row] = reading.liquidTemperature_K;
  series.superheatSetpoint_K[row] = reading.superheatSetpoint_K;
  series.compressorLoad_pct[row] = reading.compressorLoad_pct;
  series.enteringWaterTemperature_K[row] = water.enteringTemperature_K;
  series.leavingWaterTemperature_K[row] = water.leavingTemperature_K;
  series.waterFlow_m3_s[row] = water.flow_m3_s;
  series.compressorPower_W[row] = reading.compressorPower_W;
  series.ambientTemperature_K[row] = water.ambientTemperature_K;
  series.condenserEnteringTemperature_K[row] = water.condenserEnteringTemperature_K;
  series.condenserLeavingTemperature_K[row] = water.condenserLeavingTemperature_K;
  series.condenserFlow_m3_s[row] = water.condenserFlow_m3_s;
  series.condenserFanSpeed_pct[row] = water.condenserFanSpeed_pct;
}

/** Columns that come from the gateway of water and condenser. */
const ofWater = [
  'enteringWaterTemperature_K',
  'leavingWaterTemperature_K',
  'waterFlow_m3_s',
  'ambientTemperature_K',
  'condenserEnteringTemperature_K',
  'condenserLeavingTemperature_K',
  'condenserFlow_m3_s',
  'condenserFanSpeed_pct',
] as const;

/** Moves the circuits' times where their gateway's clock runs off; the store then pairs them with the water of the time they claim. */
function driftClock(model: UnitModel, all: readonly CircuitSeries[]): void {
  if (!model.faults.some(({ kind }) => kind === 'clock-drift')) return;
  for (const series of all) {
    const { time_s } = series;
    const start_s = time_s[0];
    const last = time_s.length - 1;
    const ahead_s = time_s.map((at) => clockAhead_s(model, at));
    for (const name of ofWater) {
      const sent = series[name].slice();
      series[name] = sent.map(
        (_, row) => sent[Math.min(last, Math.round((time_s[row] + ahead_s[row] - start_s) / step_s))],
      );
    }
    series.time_s = time_s.map((at, row) => at + ahead_s[row]);
  }
}

/** 1 for each row that is kept: single ones are missing at random, and gaps of 5 to 60 min. */
function keptRows(rows: number, input: CircuitCase): Uint8Array {
  const keep = new Uint8Array(rows).fill(1);
  const random = createRandom(seedOf(input.seed, 'missing'));
  const fraction = input.missingFraction ?? 0;
  if (fraction > 0)
    for (let row = 0; row < keep.length; row++) if (random.uniform() < fraction) keep[row] = 0;
  const gaps = Math.round(((input.gapsPerDay ?? 0) * keep.length * step_s) / 86_400);
  for (let gap = 0; gap < gaps; gap++) {
    const from = Math.floor(random.uniform() * keep.length);
    keep.fill(0, from, from + 30 + Math.floor(random.uniform() * 330));
  }
  return keep;
}

/** The rows that are kept. By a loop: `filter` of a typed array took a quarter of a simulation. */
function rowsKept(values: Float64Array, keep: Uint8Array): Float64Array {
  const rows = new Float64Array(values.length);
  let count = 0;
  for (let row = 0; row < values.length; row++) if (keep[row] === 1) rows[count++] = values[row];
  return rows.slice(0, count);
}

const kept = (series: CircuitSeries, keep: Uint8Array): CircuitSeries =>
  Object.fromEntries(
    Object.entries(series).map(([name, values]: [string, Float64Array]) => [name, rowsKept(values, keep)]),
  ) as unknown as CircuitSeries;
