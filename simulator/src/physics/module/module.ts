import type { ModuleEntry } from '@coldrounds/core/telemetry';
import type { ModuleFault } from '../../faults/module-fault.js';
import { isActive } from '../../faults/fault.js';
import {
  agedCapacitor,
  ageingRate,
  atTemperature,
  currentForPower,
  deliverable_J,
  discharge,
  type Ageing,
  type Capacitor,
} from './capacitor.js';
import { createRandom, seedOf, smoothNoise } from '../random.js';

/** A backup module with the valves that it shuts. */
export interface ModuleModel {
  entry: ModuleEntry;
  /** One per circuit that it shuts, in the order of `entry.circuits`. */
  valves: { fullStroke_steps: number; rate_steps_s: number; motors: number }[];
  /** As new, at 25 C: rated values with the scatter of making. */
  fresh: Capacitor;
  ageing: Ageing;
  /** Share of life used before the history begins. */
  usedLifeAtStart: number;
  start_s: number;
  temperatureAt: (time_s: number) => number;
  faults: ModuleFault[];
  chargeVoltage_V: number;
  seed: number;
  now_s: number;
}

/** One closing as its pack carries it. */
export interface Closing {
  kind: 'self-test' | 'power-loss';
  started_s: number;
  time_s: Float64Array;
  voltage_V: Float64Array;
  current_A: Float64Array;
  valveOpening_pct: Float64Array;
  /** Truth: final opening per circuit, %. */
  left_pct: number[];
  temperature_K: number;
}

const day_s = 86_400;

/** Capacitor at 25 C at a time, ageing day by day. Days are worked out once, so that times may be asked in any order. */
export function createAgeing(model: ModuleModel): (time_s: number) => Capacitor {
  const usedByDay = [model.usedLifeAtStart];
  return (time_s) => {
    const day = Math.max(0, Math.floor((time_s - model.start_s) / day_s));
    while (usedByDay.length <= day) {
      const from_s = model.start_s + (usedByDay.length - 1) * day_s;
      let rate = ageingRate(model.ageing, model.temperatureAt(from_s + day_s / 2));
      for (const fault of model.faults) {
        if (fault.kind === 'ageing-fast' && isActive(fault, from_s, model.now_s)) {
          rate *= model.ageing.life_s / (fault.life_years * 365.25 * day_s);
        }
      }
      usedByDay.push(usedByDay[usedByDay.length - 1] + rate * day_s);
    }
    const usedLife = usedByDay[day];
    const cell = agedCapacitor(model.fresh, usedLife, model.ageing.fade);
    for (const fault of model.faults) {
      if (!isActive(fault, time_s, model.now_s)) continue;
      if (fault.kind === 'sudden-loss') {
        cell.capacitance_F *= 1 - fault.share;
        cell.esr_Ohm *= 1 + 1.5 * fault.share;
      } else if (fault.kind === 'weak-cell') {
        const cells = model.entry.cellsInSeries;
        cell.capacitance_F *= cells / (cells - 1 + 1 / (1 - fault.share));
        cell.esr_Ohm *= (cells - 1 + 1 / (1 - fault.share)) / cells;
      }
    }
    return cell;
  };
}

/** Voltage to which the charger brings the module, and the current that it then keeps up, A. */
export function floatState(model: ModuleModel, time_s: number): { voltage_V: number; leakage_A: number } {
  let voltage_V = model.chargeVoltage_V;
  // Common practice, no source: a few tens of microamperes per farad of cell, growing with temperature.
  const warm = Math.pow(2, (model.temperatureAt(time_s) - 298.15) / 12);
  let leakage_A = 4e-5 * model.fresh.capacitance_F * model.entry.cellsInSeries * warm;
  for (const fault of model.faults) {
    if (!isActive(fault, time_s, model.now_s)) continue;
    if (fault.kind === 'charger-low') voltage_V = Math.min(voltage_V, fault.voltage_V);
    else if (fault.kind === 'leaking-charge') leakage_A += fault.current_A;
    else if (fault.kind === 'weak-cell') leakage_A += 0.006 * fault.share;
  }
  return { voltage_V, leakage_A };
}

const inner_s = 0.01;

/**
 * Drives all valves of a module shut on stored energy, from the openings given, at constant power per motor. A motor
 * stops after its steps and the overdrive; all stop when the terminals fall under the converter's least voltage.
 */
export function closeValves(
  model: ModuleModel,
  cell25C: Capacitor,
  kind: Closing['kind'],
  started_s: number,
  openings_pct: readonly number[],
  sample_s: number,
): Closing {
  const { entry, valves } = model;
  const temperature_K = model.temperatureAt(started_s);
  const cell = atTemperature(cell25C, temperature_K);
  const random = createRandom(seedOf(model.seed, entry.number, Math.round(started_s)));
  random.uniform();
  const float = floatState(model, started_s);
  const charge_V = float.voltage_V + 0.02 * random.normal();
  const times: number[] = [];
  const volts: number[] = [];
  const amperes: number[] = [];
  const shown: number[] = [];
  const openings = [...openings_pct];
  const driven = valves.map((valve, i) => {
    const overdriven = openings[i] + entry.overdrive_pct;
    return openings[i] > 0 || kind === 'self-test'
      ? (overdriven / 100) * (valve.fullStroke_steps / valve.rate_steps_s)
      : 0;
  });
  const stuck = model.faults.find(
    (fault) => fault.kind === 'valve-stuck-open' && isActive(fault, started_s, model.now_s),
  );
  const least_pct = stuck?.kind === 'valve-stuck-open' ? stuck.opening_pct : 0;
  const total_s = Math.max(...driven);
  let inner_V = charge_V;
  const sample = (time_s: number, current_A: number) => {
    times.push(Math.round(time_s * 1000) / 1000);
    const terminal = inner_V - current_A * cell.esr_Ohm;
    volts.push(Math.round((terminal + 0.004 * random.normal()) * 500) / 500);
    const read = current_A === 0 ? 0.0004 * random.normal() : current_A * (1 + 0.003 * random.normal());
    amperes.push(Math.round(read * 1000) / 1000);
    shown.push(Math.round(Math.max(...openings) * 10) / 10);
  };
  sample(0, 0);
  const steps = Math.round(total_s / inner_s);
  const every = Math.max(1, Math.round(sample_s / inner_s));
  for (let step = 0; step < steps; step++) {
    const time_s = step * inner_s;
    let power_W = 0;
    for (let i = 0; i < valves.length; i++)
      if (time_s < driven[i]) power_W += entry.drivePower_W * valves[i].motors;
    const current_A = currentForPower(inner_V, cell.esr_Ohm, power_W);
    if (!(inner_V - current_A * cell.esr_Ohm >= entry.minimumVoltage_V)) {
      break;
    }
    inner_V = discharge(inner_V, cell, { power_W }, inner_s);
    for (let i = 0; i < valves.length; i++) {
      const moved = ((inner_s * valves[i].rate_steps_s) / valves[i].fullStroke_steps) * 100;
      if (time_s < driven[i] && openings[i] > 0)
        openings[i] = Math.max(Math.min(openings[i], least_pct), openings[i] - moved, 0);
    }
    if ((step + 1) % every === 0) sample((step + 1) * inner_s, current_A);
  }
  const end_s = times[times.length - 1];
  // The dielectric gives a little back after the load is off.
  for (let second = 1; second <= 5; second++) sample(Math.ceil(end_s) + second, 0);
  return {
    kind,
    started_s,
    time_s: Float64Array.from(times),
    voltage_V: Float64Array.from(volts),
    current_A: Float64Array.from(amperes),
    valveOpening_pct: Float64Array.from(shown),
    left_pct: openings,
    temperature_K,
  };
}

/** Energy of one full closing of all the module's valves, and the power it takes. */
export function fullClosing(model: ModuleModel): { energy_J: number; power_W: number } {
  let energy_J = 0;
  let power_W = 0;
  for (const valve of model.valves) {
    const power = model.entry.drivePower_W * valve.motors;
    power_W += power;
    energy_J += power * (valve.fullStroke_steps / valve.rate_steps_s) * (1 + model.entry.overdrive_pct / 100);
  }
  return { energy_J, power_W };
}

/** True closing reserve at 25 C: what can be delivered from full charge over what one full closing takes. */
export function closingReserve(model: ModuleModel, cell25C: Capacitor, charge_V: number): number {
  const { energy_J, power_W } = fullClosing(model);
  return deliverable_J(cell25C, charge_V, model.entry.minimumVoltage_V, power_W) / energy_J;
}

export interface BackupReading {
  voltage_V: number;
  current_A: number;
  temperature_K: number;
  mains: 0 | 1;
  health: 0 | 1;
}

/**
 * The module's own values at a time outside of a closing. `sinceTest_s` and `sinceLoss_s` are the times since the
 * last discharge began; `sinceMains_s` since mains came back. The health contact opens while the store is not full:
 * for a minute and a half after a test and until recharged after a loss.
 */
export function readBackup(
  model: ModuleModel,
  time_s: number,
  cell25C: Capacitor,
  event: {
    sinceTest_s: number;
    lost: boolean;
    sinceLoss_s: number;
    restVoltage_V: number;
    sinceMains_s: number;
  },
): BackupReading {
  const random = createRandom(seedOf(model.seed, entryKey(model)) ^ Math.imul(time_s / 10, 0x9e3779b1));
  random.uniform();
  const float = floatState(model, time_s);
  let voltage_V = float.voltage_V;
  let current_A = -float.leakage_A;
  let health: 0 | 1 = 1;
  if (event.lost) {
    // Open circuit: only leakage discharges it.
    voltage_V = Math.max(
      0,
      event.restVoltage_V - (float.leakage_A * event.sinceLoss_s) / cell25C.capacitance_F,
    );
    current_A = 0;
    health = 0;
  } else if (event.sinceMains_s >= 0 && event.sinceMains_s < 120) {
    voltage_V = Math.min(voltage_V, event.restVoltage_V + (0.3 * event.sinceMains_s) / cell25C.capacitance_F);
    if (voltage_V < float.voltage_V) current_A = -0.3;
    health = 0;
  } else if (event.sinceTest_s >= 0 && event.sinceTest_s < 90) {
    voltage_V = float.voltage_V - Math.max(0, 0.4 - event.sinceTest_s / 200);
    current_A = -0.3;
    health = 0;
  }
  for (const fault of model.faults) {
    if (!isActive(fault, time_s, model.now_s)) continue;
    if (fault.kind === 'health-fault') health = 0;
    else if (fault.kind === 'health-contact-stuck') health = 1;
  }
  return {
    voltage_V: Math.max(0, Math.round((voltage_V + 0.006 * random.normal()) * 200) / 200),
    current_A: Math.round((current_A + 0.00015 * random.normal()) * 1e4) / 1e4,
    temperature_K: Math.round((model.temperatureAt(time_s) + 0.05 * random.normal()) * 10) / 10,
    mains: event.lost ? 0 : 1,
    health,
  };
}

const entryKey = (model: ModuleModel): string => `module ${model.entry.number}`;

/** Temperature in a module's enclosure, K: yearly and daily swing and passing weather about a mean. */
export function enclosureTemperature(
  given: { mean_K: number; yearSwing_K: number; daySwing_K: number; warmestDay: number },
  seed: number,
): (time_s: number) => number {
  return (time_s) => {
    const day = time_s / day_s;
    return (
      given.mean_K +
      given.yearSwing_K * Math.cos((2 * Math.PI * ((day % 365.2425) - given.warmestDay)) / 365.2425) +
      given.daySwing_K * Math.cos(2 * Math.PI * (day - 15 / 24)) +
      1.5 * smoothNoise(seed, time_s, 200_000)
    );
  };
}
