import type { CircuitEntry, UnitEntry } from '@coldrounds/core/telemetry';
import { effectsAt } from '../faults/apply.js';
import type { CircuitEffects } from '../faults/effects.js';
import type { Fault } from '../faults/fault.js';
import { isActive } from '../faults/fault.js';
import {
  advanceRunning,
  advanceStanding,
  newCircuit,
  startCircuit,
  stopCircuit,
  type CircuitState,
  type CircuitSurroundings,
} from './circuit.js';
import { waterHeat_J_m3K, type CircuitPhysics } from './design.js';
import {
  loadShare,
  localTime,
  outdoor_K,
  standsByPlan,
  zoneOffset_s,
  type Climate,
  type LoadProfile,
  type StandPlan,
} from './environment.js';
import { seedOf, smoothNoise } from './random.js';

/** Everything fixed about one simulated chiller. */
export interface UnitModel {
  site: { key: string; altitude_m: number; latitude_deg: number; timeZone: string };
  entry: UnitEntry;
  climate: Climate;
  load: LoadProfile;
  stand?: StandPlan;
  /** `slide`: load moves freely between 25 and 100 %; `stages`: half and full load per circuit. */
  capacityControl: 'slide' | 'stages';
  circuits: CircuitPhysics[];
  faults: Fault[];
  /** Setpoint of each circuit over time; an adaptive controller walks. */
  setpoints: SetpointPlan[];
  powerLosses: PowerLoss[];
  /** Local second of the day of the daily self-test; the unit stops for it. */
  selfTest_s: number;
  seed: number;
  /** The moment to which the fault script is relative. */
  now_s: number;
  /** Where the valve of a circuit comes to rest when it is closed on stored energy from an opening. */
  closeOnStore?: (circuit: number, time_s: number, opening_pct: number) => number;
}

export interface SetpointPlan {
  value_K: number;
  /** The controller searches: the setpoint walks between `least_K` and `value_K` and back, one step per `every_h`. */
  search?: { least_K: number; step_K: number; every_h: number };
}

export interface PowerLoss {
  start_s: number;
  end_s: number;
}

export interface UnitState {
  time_s: number;
  circuits: CircuitState[];
  effects: CircuitEffects[];
  entering_K: number;
  leaving_K: number;
  flow_m3_s: number;
  ambient_K: number;
  outdoor_K: number;
  coolant_K: number;
  demand: number;
  integral: number;
  loads: number[];
  stage: number;
  sinceStage_s: number;
  on: boolean;
  sinceSwitch_s: number;
  load: number;
  setpoint_K: number[];
  mains: boolean;
  exchange: number;
  around: CircuitSurroundings;
}

export const step_s = 10;
const leavingSetpoint_K = 280.15;
const restartDelay_s = 300;

export function newUnit(model: UnitModel, time_s: number): UnitState {
  const local = localTime(time_s, zoneOffset_s(model.site.timeZone, time_s));
  const outdoor = outdoor_K(model.climate, model.site.key, model.site.latitude_deg, time_s, local);
  const ambient = surroundings_K(model, outdoor);
  const around = {
    entering_K: ambient,
    waterFlow_m3_s: 0,
    coolant_K: ambient,
    ambient_K: ambient,
    loadTarget: 0,
    setpoint_K: 6,
  };
  return {
    time_s,
    circuits: model.circuits.map((physics, i) =>
      newCircuit(physics, seedOf(model.seed, model.entry.key, i), ambient),
    ),
    effects: [],
    entering_K: Math.min(ambient, 289.15),
    leaving_K: Math.min(ambient, 287.15),
    flow_m3_s: 0,
    ambient_K: ambient,
    outdoor_K: outdoor,
    coolant_K: ambient,
    demand: 0.5,
    integral: 0.5,
    loads: model.circuits.map(() => 0),
    stage: 0,
    sinceStage_s: 0,
    on: false,
    sinceSwitch_s: 36_000,
    load: 0.5,
    setpoint_K: model.setpoints.map((plan) => plan.value_K),
    mains: true,
    exchange: 0,
    around,
  };
}

/** Air-cooled units stand outdoors; water-cooled ones in a plant room that follows the weather a little. */
const surroundings_K = (model: UnitModel, outdoor: number): number =>
  model.entry.condenser === 'air' ? outdoor : 294.15 + 0.15 * (outdoor - 291.15);

export function isPowered(model: UnitModel, time_s: number): boolean {
  for (const loss of model.powerLosses) if (time_s >= loss.start_s && time_s < loss.end_s) return false;
  return true;
}

/** Setpoint of a plan at a time, K: steps down to the least, then back up. */
export function setpointAt(plan: SetpointPlan, time_s: number): number {
  if (!plan.search) return plan.value_K;
  const { least_K, step_K, every_h } = plan.search;
  const steps = Math.max(1, Math.round((plan.value_K - least_K) / step_K));
  const phase = Math.floor(time_s / (every_h * 3600)) % (2 * steps);
  const down = phase <= steps ? phase : 2 * steps - phase;
  return plan.value_K - down * step_K;
}

/** Advances a unit by one step of 10 s. Afterwards `state.time_s` is the time of the values in it. */
export function advanceUnit(model: UnitModel, state: UnitState): void {
  const time_s = state.time_s + step_s;
  state.time_s = time_s;
  if (time_s % 60 === 0 || state.effects.length === 0) refreshSlowThings(model, state, time_s);
  if (time_s % 3600 === 0) {
    for (let i = 0; i < state.circuits.length; i++) {
      state.circuits[i].random = seedOf(model.seed, model.entry.key, i, time_s / 3600) | 0;
    }
  }
  const powered = isPowered(model, time_s);
  if (!powered && state.mains) onPowerLoss(model, state, time_s);
  if (powered && !state.mains) {
    state.sinceSwitch_s = -restartDelay_s;
    state.on = false;
  }
  state.mains = powered;

  const local = localTime(time_s, zoneOffset_s(model.site.timeZone, time_s));
  const planned = !standsByPlan(model.stand, model.load, local);
  const sinceTest_s = local.hour * 3600 - model.selfTest_s;
  const testing = sinceTest_s > -240 && sinceTest_s < 300;
  const pump = powered && planned;
  controlCapacity(model, state, powered && planned && !testing, pump);

  let swing_K = 0;
  let exchange = 0;
  for (const fault of model.faults) {
    if (fault.kind === 'load-swing' && isActive(fault, time_s, model.now_s)) {
      const period_s = fault.period_s ?? 420;
      const phase = (time_s % period_s) / period_s;
      // A process valve that opens and shuts: steep one way, slower the other.
      swing_K += (fault.amplitude_K ?? 1.5) * (phase < 0.4 ? 1 - phase * 5 : -1 + ((phase - 0.4) / 0.6) * 2);
    } else if (fault.kind === 'circuits-disturbing' && isActive(fault, time_s, model.now_s)) {
      exchange = fault.exchange ?? 6;
    }
  }

  const { circuits, around } = state;
  const capacity_W = model.entry.nominalCapacity_W;
  const nominalFlow = nominalFlow_m3_s(model);
  const flow = pump ? nominalFlow * Math.max(0.5, Math.min(1, state.on ? state.demand : 0.5)) : 0;
  state.flow_m3_s += (flow - state.flow_m3_s) * 0.2;
  if (!pump) state.flow_m3_s = 0;
  around.ambient_K = state.ambient_K;
  let mixed_K = 0;
  for (let i = 0; i < circuits.length; i++) {
    const circuit = circuits[i];
    const physics = model.circuits[i];
    around.entering_K = state.entering_K + swing_K;
    if (exchange > 0 && circuits.length > 1) {
      const other = circuits[(i + 1) % circuits.length];
      around.entering_K += exchange * (other.leaving_K - state.leaving_K);
    }
    around.waterFlow_m3_s = (state.flow_m3_s * physics.waterFlow_m3_s) / nominalFlow;
    around.coolant_K = state.coolant_K;
    around.loadTarget = state.loads[i];
    around.setpoint_K = state.setpoint_K[i];
    if (circuit.mode === 'standing' && state.loads[i] > 0)
      startCircuit(physics, circuit, 0.6 * physics.nominalOpening_pct);
    else if (circuit.mode !== 'standing' && state.loads[i] <= 0) stopCircuit(circuit);
    if (circuit.mode === 'standing') {
      if (model.entry.condenser === 'water' || !pump) around.coolant_K = state.ambient_K;
      advanceStanding(physics, circuit, around, step_s, pump, powered);
      if (sinceTest_s > -step_s && sinceTest_s <= 0 && powered) circuit.motor_pct = circuit.stem_pct = 100;
    } else {
      advanceRunning(physics, circuit, around, state.effects[i], step_s);
    }
    mixed_K += (circuit.leaving_K * physics.design.capacity_W) / capacity_W;
  }
  state.leaving_K = mixed_K;
  if (pump) {
    const added_W = (state.on || planned ? state.load : 0) * capacity_W;
    const carried_W = state.flow_m3_s * waterHeat_J_m3K * (state.entering_K - state.leaving_K);
    state.entering_K += (step_s * (added_W - carried_W)) / (capacity_W * 110);
    if (state.entering_K > 298.15) state.entering_K = 298.15;
  } else {
    state.entering_K += (state.ambient_K - state.entering_K) * (step_s / 14_000);
  }
}

const nominalFlow_m3_s = (model: UnitModel): number =>
  model.circuits.reduce((sum, physics) => sum + physics.waterFlow_m3_s, 0);

function refreshSlowThings(model: UnitModel, state: UnitState, time_s: number): void {
  const local = localTime(time_s, zoneOffset_s(model.site.timeZone, time_s));
  const outdoor = outdoor_K(model.climate, model.site.key, model.site.latitude_deg, time_s, local);
  state.outdoor_K = outdoor;
  state.ambient_K = surroundings_K(model, outdoor);
  const day = 0.6 + 0.4 * Math.cos((2 * Math.PI * (local.hour - 15)) / 24);
  const wetBulb = outdoor - model.climate.wetBulbDepression_K * day;
  state.coolant_K = model.entry.condenser === 'air' ? outdoor : Math.max(293.15, wetBulb + 6);
  state.load = loadShare(model.load, seedOf(model.seed, model.entry.key, 'load'), time_s, local, outdoor);
  for (let i = 0; i < model.circuits.length; i++) {
    const entry = model.entry.circuits[i];
    state.effects[i] = effectsAt(model.faults, entry.number, time_s, model.now_s, pressureNoise_Pa(entry));
    state.setpoint_K[i] = setpointAt(model.setpoints[i], time_s);
    const frozen = state.effects[i];
    const { design, tables } = model.circuits[i];
    if (frozen.suctionTemperature.frozen)
      frozen.controlTemperature_K = frozenTemperature_K(design.evaporating_K);
    if (frozen.suctionPressure.frozen)
      frozen.controlPressure_Pa = tables.dewPressure_Pa[Math.round((design.evaporating_K - 233.15) * 2)];
  }
}

/** A frozen suction sensor shows what it showed at full load. */
export const frozenTemperature_K = (evaporating_K: number): number => evaporating_K + 6.4;

export const pressureNoise_Pa = (entry: CircuitEntry): number =>
  0.00025 * (entry.suctionPressure.maximum - entry.suctionPressure.minimum);

function onPowerLoss(model: UnitModel, state: UnitState, time_s: number): void {
  for (let i = 0; i < state.circuits.length; i++) {
    const circuit = state.circuits[i];
    const from = circuit.motor_pct;
    if (circuit.mode !== 'standing') stopCircuit(circuit);
    state.loads[i] = 0;
    if (from > 0 && model.closeOnStore) {
      circuit.motor_pct = circuit.stem_pct = model.closeOnStore(model.entry.circuits[i].number, time_s, from);
    }
  }
  state.on = false;
  state.sinceSwitch_s = 0;
}

/** Leaving-water control: a slow PI with a slide, or stages with bands and least times. */
function controlCapacity(model: UnitModel, state: UnitState, mayRun: boolean, pump: boolean): void {
  state.sinceSwitch_s += step_s;
  state.sinceStage_s += step_s;
  const circuits = state.loads.length;
  if (!mayRun) {
    if (state.on) {
      state.on = false;
      state.sinceSwitch_s = 0;
    }
    state.stage = 0;
    state.loads.fill(0);
    return;
  }
  const error = state.leaving_K - leavingSetpoint_K;
  if (!state.on) {
    if (state.sinceSwitch_s < 300 || !pump || state.entering_K < leavingSetpoint_K + 2.5) return;
    state.on = true;
    state.sinceSwitch_s = 0;
    state.integral = state.demand = Math.max(0.35, Math.min(1, state.load));
    state.stage = Math.max(1, Math.round(state.demand * 2 * circuits));
    state.sinceStage_s = 0;
    for (let i = 0; i < circuits; i++) state.loads[i] = 0;
  }
  if (model.capacityControl === 'slide') {
    state.integral = Math.max(0.25, Math.min(1, state.integral + (0.09 * error * step_s) / 420));
    const demand = Math.max(0.25, Math.min(1, state.integral + 0.09 * error));
    if (Math.abs(demand - state.demand) > 0.025) state.demand = Math.round(demand * 50) / 50;
    state.loads.fill(state.demand);
    if (state.demand <= 0.26 && error < -1.5 && state.sinceSwitch_s > 900) switchOff(state);
    return;
  }
  const stages = 2 * circuits;
  if (state.sinceStage_s >= 300 && state.sinceSwitch_s > 300) {
    const filtered = error + 0.15 * smoothNoise(7, state.time_s, 300);
    if (filtered > 0.9 && state.stage < stages) {
      state.stage++;
      state.sinceStage_s = 0;
    } else if (filtered < -0.9) {
      if (state.stage > 1) {
        state.stage--;
        state.sinceStage_s = 0;
      } else if (error < -1.8 && state.sinceSwitch_s > 600) {
        switchOff(state);
        return;
      }
    }
  }
  state.demand = state.stage / stages;
  for (let i = 0; i < circuits; i++) {
    const own = Math.floor((state.stage + circuits - 1 - i) / circuits);
    state.loads[i] = own <= 0 ? 0 : own === 1 ? 0.5 : 1;
  }
}

function switchOff(state: UnitState): void {
  state.on = false;
  state.sinceSwitch_s = 0;
  state.stage = 0;
  state.loads.fill(0);
}
