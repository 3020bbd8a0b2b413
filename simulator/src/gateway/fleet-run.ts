import { advanceUnit } from '../physics/unit/advance-unit.js';
import { localTime, zoneOffset_s } from '../physics/unit/environment.js';
import { readCircuit, readWater, type Reading, type WaterReading } from '../physics/unit/instruments.js';
import {
  closeValves,
  createAgeing,
  floatState,
  readBackup,
  type BackupReading,
  type Closing,
  type ModuleModel,
} from '../physics/module/module.js';
import { createRandom, seedOf } from '../physics/random.js';
import { newUnit, step_s, type UnitState } from '../physics/unit/unit-state.js';
import { clockAhead_s } from '../faults/clock-drift.js';
import { isActive } from '../faults/fault.js';
import type { FleetUnit } from '../scenario.js';
import { newRows, type Rows } from './packs.js';
import { createSender, type Sender, type ValueKind } from './sending.js';

/** One unit being run: its state in time and what its gateway has collected and not yet sent. */
export interface UnitRun {
  unit: FleetUnit;
  state: UnitState;
  circuits: Rows[];
  water: Rows;
  condenser: Rows;
  /** What the gateway makes of the rows before it keeps them; none: it keeps them as read. */
  senders: { circuits: Sender[]; water: Sender; condenser: Sender } | null;
  backup: { time_s: number; reading: BackupReading }[][];
  closings: { module: number; closing: Closing }[];
}

const columnsOfReading = [
  'suctionPressure_Pa',
  'suctionTemperature_K',
  'valveOpening_pct',
  'dischargePressure_Pa',
  'dischargeTemperature_K',
  'liquidTemperature_K',
  'superheatSetpoint_K',
  'compressorLoad_pct',
  'compressorPower_W',
] as const satisfies readonly (keyof Reading)[];

const columnsOfWater = [
  'enteringTemperature_K',
  'leavingTemperature_K',
  'flow_m3_s',
  'ambientTemperature_K',
] as const satisfies readonly (keyof WaterReading)[];
const columnsOfCondenser = [
  'condenserEnteringTemperature_K',
  'condenserLeavingTemperature_K',
  'condenserFlow_m3_s',
  'condenserFanSpeed_pct',
] as const satisfies readonly (keyof WaterReading)[];

const day_s = 86_400;
const rowsPerCollection = 720;

/** Closings on stored energy in power losses, by module and time of the loss. */
type LossClosings = Map<string, Closing>;

/** The module side of a unit, usable at any time in any order: ageing, self-tests, power losses. */
export interface ModuleSide {
  selfTest(module: number, day: number): Closing | null;
  lossClosing(module: number, start_s: number): Closing | undefined;
  reading(module: number, time_s: number): BackupReading;
}

export function createModuleSide(unit: FleetUnit): ModuleSide {
  const ages = unit.modules.map((model) => createAgeing(model));
  const losses: LossClosings = new Map();
  const openings = new Map<string, number[]>();

  // When mains fails, each circuit asks where its valve comes to rest; the module shuts all its valves together.
  unit.model.closeOnStore = (circuit, time_s, opening_pct) => {
    const index = unit.modules.findIndex((model) => model.entry.circuits.includes(circuit));
    if (index < 0) return opening_pct;
    const model = unit.modules[index];
    const place = model.entry.circuits.indexOf(circuit);
    const key = `${index} ${time_s}`;
    const known = openings.get(key) ?? model.entry.circuits.map(() => opening_pct);
    known[place] = opening_pct;
    openings.set(key, known);
    const closing = closeValves(model, ages[index](time_s), 'power-loss', time_s, known, 0.05);
    losses.set(key, closing);
    return closing.left_pct[place];
  };

  const lossAt = (time_s: number) =>
    unit.model.powerLosses.find((loss) => time_s >= loss.start_s && time_s < loss.end_s + 600);

  return {
    selfTest(index, day) {
      const model = unit.modules[index];
      const started_s = selfTestTime(unit, day);
      if (untested(model, started_s) || lossAt(started_s)) return null;
      const random = createRandom(seedOf(model.seed, 'test', day));
      random.uniform();
      if (random.uniform() < 0.01) return null;
      const cell = ages[index](started_s);
      const shown = {
        capacitance_F: cell.capacitance_F * (1 + 0.004 * random.normal()),
        esr_Ohm: cell.esr_Ohm * (1 + 0.012 * random.normal()),
      };
      return closeValves(
        model,
        shown,
        'self-test',
        started_s,
        model.valves.map(() => 100),
        0.05,
      );
    },
    lossClosing: (index, start_s) => losses.get(`${index} ${start_s}`),
    reading(index, time_s) {
      const model = unit.modules[index];
      const loss = lossAt(time_s);
      const closing = loss ? losses.get(`${index} ${loss.start_s}`) : undefined;
      const restVoltage_V = closing?.voltage_V.at(-1) ?? floatState(model, time_s).voltage_V;
      const local = localTime(time_s, zoneOffset_s(unit.site.timeZone, time_s));
      const sinceTest_s = local.hour * 3600 - (unit.model.selfTest_s ?? 0);
      return readBackup(model, time_s, ages[index](time_s), {
        sinceTest_s: untested(model, time_s) ? -1 : sinceTest_s,
        lost: loss !== undefined && time_s < loss.end_s,
        sinceLoss_s: loss ? time_s - loss.start_s : 0,
        restVoltage_V,
        sinceMains_s: loss && time_s >= loss.end_s ? time_s - loss.end_s : -1,
      });
    },
  };
}

const untested = (model: ModuleModel, time_s: number): boolean =>
  model.faults.some((fault) => fault.kind === 'no-self-tests' && isActive(fault, time_s, model.now_s));

/** Start of the self-test on a day (days of the site's own calendar, counted from 1970). */
export function selfTestTime(unit: FleetUnit, day: number): number {
  const noon_s = day * day_s + day_s / 2;
  return day * day_s + (unit.model.selfTest_s ?? 0) - zoneOffset_s(unit.site.timeZone, noon_s);
}

export const siteDay = (unit: FleetUnit, time_s: number): number =>
  Math.floor((time_s + zoneOffset_s(unit.site.timeZone, time_s)) / day_s);

/** A gateway reads the module of its own accord around a self-test: so long before and after the test's start, s. */
const aroundTest_s = [-60, 60, 120] as const;

/**
 * Runs the self-tests of the site's day that begin within the span, and reads each module before, during and after its
 * test, so that temperature and mains are known for a test of which nothing else is.
 */
export function collectDayOfTests(
  run: UnitRun,
  modules: ModuleSide,
  day: number,
  from_s: number,
  before_s: number,
): void {
  const started_s = selfTestTime(run.unit, day);
  if (started_s < from_s || started_s >= before_s) return;
  for (let module = 0; module < run.unit.modules.length; module++) {
    const closing = modules.selfTest(module, day);
    if (!closing) continue;
    run.closings.push({ module, closing });
    for (const after_s of aroundTest_s) {
      const time_s = started_s + after_s;
      if (time_s < before_s) run.backup[module].push({ time_s, reading: modules.reading(module, time_s) });
    }
  }
}

/** A run whose state has settled: it starts a while before `time_s`, and collects nothing on the way. */
export function settledRun(unit: FleetUnit, time_s: number, settle_s: number): UnitRun {
  const start_s = Math.floor((time_s - settle_s) / step_s) * step_s;
  const state = newUnit(unit.model, start_s);
  while (state.time_s < time_s) advanceUnit(unit.model, state);
  return {
    unit,
    state,
    circuits: unit.model.circuits.map(() => newRows(columnsOfReading.length, rowsPerCollection)),
    water: newRows(columnsOfWater.length, rowsPerCollection),
    condenser: newRows(columnsOfCondenser.length, rowsPerCollection),
    senders: sendersOf(unit),
    backup: unit.modules.map(() => []),
    closings: [],
  };
}

const kindsOfReading: readonly ValueKind[] = [
  'pressure',
  'temperature',
  'opening',
  'pressure',
  'temperature',
  'temperature',
  'setpoint',
  'load',
  'power',
];
const kindsOfWater: readonly ValueKind[] = ['temperature', 'temperature', 'flow', 'temperature'];
const kindsOfCondenser: readonly ValueKind[] = ['temperature', 'temperature', 'flow', 'load'];
const waterStep_s = 60;

function sendersOf({ sending, model }: FleetUnit): UnitRun['senders'] {
  if (!sending) return null;
  return {
    circuits: model.circuits.map((_, i) =>
      createSender(kindsOfReading, sending, seedOf(model.seed, 'gateway', i), step_s),
    ),
    water: createSender(kindsOfWater, sending, seedOf(model.seed, 'gateway', 'water'), waterStep_s),
    condenser: createSender(
      kindsOfCondenser,
      sending,
      seedOf(model.seed, 'gateway', 'condenser'),
      waterStep_s,
    ),
  };
}

/** Passes the newest row through a gateway's habits, and takes it back where nothing of it is sent. */
function passNewest(rows: Rows, sender: Sender | undefined): void {
  if (!sender) return;
  const row = rows.length - 1;
  const values = Float64Array.from(rows.values, (column) => column[row]);
  if (!sender.pass(rows.time_s[row], values)) {
    rows.length--;
    return;
  }
  rows.values.forEach((column, i) => (column[row] = values[i]));
}

const reading = {} as Reading;
const water = {} as WaterReading;

function addWaterRow(
  rows: Rows,
  columns: readonly (keyof WaterReading)[],
  time_s: number,
  sender: Sender | undefined,
): void {
  const row = rows.length++;
  rows.time_s[row] = time_s;
  columns.forEach((name, i) => (rows.values[i][row] = water[name]));
  passNewest(rows, sender);
}

/** Most rows that any circuit of a run has waiting. */
export const longestRows = (run: UnitRun): number => Math.max(...run.circuits.map((rows) => rows.length));

/** Advances a run by one step and collects what its gateway reads: circuits each step, the rest each minute. */
export function collectStep(run: UnitRun, modules: ModuleSide): void {
  const { unit, state } = run;
  const mainsBefore = state.mains;
  advanceUnit(unit.model, state);
  const time_s = state.time_s;
  for (let i = 0; i < run.circuits.length; i++) {
    const rows = run.circuits[i];
    readCircuit(unit.model, state, i, reading);
    const row = rows.length++;
    rows.time_s[row] = time_s + clockAhead_s(unit.model, time_s);
    for (let column = 0; column < columnsOfReading.length; column++) {
      rows.values[column][row] = reading[columnsOfReading[column]];
    }
    passNewest(rows, run.senders?.circuits[i]);
  }
  if (mainsBefore && !state.mains) {
    unit.modules.forEach((_, index) => {
      const closing = modules.lossClosing(index, time_s);
      if (closing) run.closings.push({ module: index, closing });
    });
  }
  if (time_s % 60 !== 0) return;
  readWater(unit.model, state, water);
  addWaterRow(run.water, columnsOfWater, time_s, run.senders?.water);
  addWaterRow(run.condenser, columnsOfCondenser, time_s, run.senders?.condenser);
  for (let index = 0; index < unit.modules.length; index++) {
    run.backup[index].push({ time_s, reading: modules.reading(index, time_s) });
  }
}
