import { isActive } from '../../faults/fault.js';
import { controlCapacity } from './capacity-control.js';
import type { CircuitState } from '../circuit/circuit-state.js';
import { waterHeat_J_m3K, type CircuitPhysics } from '../circuit/design.js';
import { localTime, standsByPlan, zoneOffset_s } from './environment.js';
import { habitAt, type HabitNow } from './operating-habits.js';
import { advanceDefrost, advanceReversed } from '../circuit/other-modes.js';
import { isPowered, losePower } from './power-loss.js';
import { seedOf, smoothNoise } from '../random.js';
import { advanceRunning } from '../circuit/running/running-circuit.js';
import { refreshSlowChanges } from './slow-changes.js';
import { advanceStanding } from '../circuit/standing-circuit.js';
import { pumpDown, startCircuit, stopCircuit } from '../circuit/start-and-stop.js';
import type { UnitModel } from './unit-model.js';
import { step_s, type UnitState } from './unit-state.js';

const restartDelay_s = 300;
/** Water temperature that the building holds while it is heated, K. */
const heatedWater_K = 311.15;

/**
 * Circuits that disturb each other move each other's entering water by no more than this, about half of what the water is cooled
 * by: heat that water could not carry would make their swing grow without end. Judgement, no source.
 */
const mostExchanged_K = 3;

/** What drives a unit's circuits in one step. */
interface StepDrive {
  powered: boolean;
  pump: boolean;
  /** Time since the start of the day's self-test, negative before it, s. */
  sinceTest_s: number;
  habit: HabitNow;
  swing_K: number;
  exchange: number;
}

/** Advances a unit by one step of 10 s. Afterwards `state.time_s` is the time of the values in it. */
export function advanceUnit(model: UnitModel, state: UnitState): void {
  const time_s = state.time_s + step_s;
  state.time_s = time_s;
  if (time_s % 60 === 0 || state.effects.length === 0) refreshSlowChanges(model, state, time_s);
  if (time_s % 3600 === 0) {
    for (let i = 0; i < state.circuits.length; i++) {
      state.circuits[i].random = seedOf(model.seed, model.entry.key, i, time_s / 3600) | 0;
    }
  }
  followMains(model, state, time_s);
  const powered = state.mains;
  const local = localTime(time_s, zoneOffset_s(model.site.timeZone, time_s));
  const planned = !standsByPlan(model.stand, model.load, local);
  const sinceTest_s = model.selfTest_s === null ? Infinity : local.hour * 3600 - model.selfTest_s;
  const testing = sinceTest_s > -240 && sinceTest_s < 300;
  const pump = powered && planned;
  const habit = habitAt(model.habits, time_s, local);
  const mayRun = powered && planned && !testing && !habit.stands;
  if (habit.reversed && mayRun) heat(model, state);
  else controlCapacity(model, state, mayRun, pump);

  const nominalFlow = nominalFlow_m3_s(model);
  // The building's own valves set the flow, by its load; a compressor that must work harder does not change it.
  const flow = pump
    ? nominalFlow * state.effects[0].evaporatorFlow * Math.max(0.5, Math.min(1, state.load))
    : 0;
  state.flow_m3_s += (flow - state.flow_m3_s) * 0.2;
  if (!pump) state.flow_m3_s = 0;
  state.around.ambient_K = state.ambient_K;
  const drive = { powered, pump, sinceTest_s, habit, ...disturbances(model, time_s) };
  let mixed_K = 0;
  for (let i = 0; i < state.circuits.length; i++) {
    advanceCircuit(model, state, i, drive);
    mixed_K +=
      (state.circuits[i].leaving_K * model.circuits[i].design.capacity_W) / model.entry.nominalCapacity_W;
  }
  state.leaving_K = mixed_K;
  advanceWater(model, state, pump, planned, habit.reversed);
  mixCoolant(model, state);
}

function followMains(model: UnitModel, state: UnitState, time_s: number): void {
  const powered = isPowered(model, time_s);
  if (!powered && state.mains) losePower(model, state, time_s);
  if (powered && !state.mains) {
    state.sinceSwitch_s = -restartDelay_s;
    state.on = false;
  }
  state.mains = powered;
}

/** Heating needs no leaving-water control here: the load follows the building slowly. */
function heat(model: UnitModel, state: UnitState): void {
  state.on = true;
  state.sinceSwitch_s = 0;
  state.demand = Math.max(
    0.4,
    Math.min(1, 0.7 + 0.1 * smoothNoise(seedOf(model.seed, 'heating'), state.time_s, 2400)),
  );
  state.loads.fill(state.demand);
}

/** What faults of the unit do at a moment: the water's swing, and the heat that circuits exchange. */
function disturbances(model: UnitModel, time_s: number): { swing_K: number; exchange: number } {
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
  return { swing_K, exchange };
}

function advanceCircuit(model: UnitModel, state: UnitState, index: number, drive: StepDrive): void {
  const { circuits, around } = state;
  const circuit = circuits[index];
  const physics = model.circuits[index];
  const { habit, pump, powered } = drive;
  around.entering_K = state.entering_K + drive.swing_K;
  if (drive.exchange > 0 && circuits.length > 1) {
    const other = circuits[(index + 1) % circuits.length];
    const exchanged_K = drive.exchange * (other.leaving_K - state.leaving_K);
    around.entering_K += Math.max(-mostExchanged_K, Math.min(mostExchanged_K, exchanged_K));
  }
  if (state.effects[index].ofOther.length > 0) {
    const other = circuits[(index + 1) % circuits.length];
    around.otherEvaporating_K = other.evaporating_K;
    around.otherSuctionSensor_K = other.suctionSensor_K;
  }
  around.waterFlow_m3_s = (state.flow_m3_s * physics.waterFlow_m3_s) / nominalFlow_m3_s(model);
  around.coolant_K = state.coolant_K;
  around.loadTarget = state.loads[index];
  around.setpoint_K = state.setpoint_K[index];
  startOrStop(model, physics, circuit, state.loads[index], powered);
  if (circuit.mode === 'standing') {
    circuit.reversed = false;
    if (model.entry.condenser === 'water' || !pump) around.coolant_K = state.ambient_K;
    advanceStanding(physics, circuit, around, step_s, pump, powered, state.effects[index].leakBy);
    if (drive.sinceTest_s > -step_s && drive.sinceTest_s <= 0 && powered)
      circuit.motor_pct = circuit.stem_pct = 100;
    return;
  }
  circuit.reversed = habit.reversed && habit.defrosting === 'no';
  if (habit.defrosting !== 'no') advanceDefrost(physics, circuit, around, habit.defrosting, step_s);
  else if (habit.reversed) advanceReversed(physics, circuit, around, model.habits!.reversed!.sensors, step_s);
  else advanceRunning(physics, circuit, around, state.effects[index], step_s);
}

function startOrStop(
  model: UnitModel,
  physics: CircuitPhysics,
  circuit: CircuitState,
  load: number,
  powered: boolean,
): void {
  if (circuit.mode === 'standing') {
    if (load > 0) startCircuit(physics, circuit, 0.6 * physics.nominalOpening_pct);
  } else if (load <= 0) {
    if (model.habits?.pumpDown && powered && !circuit.reversed) pumpDown(physics, circuit, step_s);
    else stopCircuit(circuit);
  }
}

/** The building's water: what the load adds less what the unit carries off; at rest it follows its surroundings. */
function advanceWater(
  model: UnitModel,
  state: UnitState,
  pump: boolean,
  planned: boolean,
  heated: boolean,
): void {
  const capacity_W = model.entry.nominalCapacity_W;
  if (heated) {
    state.entering_K += (heatedWater_K - state.entering_K) * (step_s / 1800);
  } else if (pump) {
    const added_W = (state.on || planned ? state.load : 0) * capacity_W;
    const carried_W = state.flow_m3_s * waterHeat_J_m3K * (state.entering_K - state.leaving_K);
    state.entering_K += (step_s * (added_W - carried_W)) / (capacity_W * 110);
    if (state.entering_K > 298.15) state.entering_K = 298.15;
  } else {
    state.entering_K += (state.ambient_K - state.entering_K) * (step_s / 14_000);
  }
}

/** Lag of a thermometer in a pipe whose water stands, s. */
const standingPipe_s = 900;

/** What the sensors on the condenser's side see: the circuits' streams together, fans at their mean; at rest the pipes follow the room. */
function mixCoolant(model: UnitModel, state: UnitState): void {
  let carried_W_K = 0;
  let leaving = 0;
  let control = 0;
  let running = 0;
  for (const circuit of state.circuits) {
    if (circuit.mode === 'standing') continue;
    running++;
    control += circuit.coolantControl;
    carried_W_K += circuit.coolant_W_K;
    leaving += circuit.coolant_W_K * circuit.coolantLeaving_K;
  }
  const water = model.entry.condenser === 'water';
  state.fan_pct = running === 0 ? 0 : (100 * control) / running;
  state.coolantFlow_m3_s = water ? carried_W_K / waterHeat_J_m3K : 0;
  if (!water) state.coolantEntering_K = state.coolant_K;
  else if (carried_W_K > 0) {
    state.coolantEntering_K = state.coolant_K;
    state.coolantLeaving_K = leaving / carried_W_K;
  } else {
    const share = step_s / standingPipe_s;
    state.coolantEntering_K += share * (state.ambient_K - state.coolantEntering_K);
    state.coolantLeaving_K += share * (state.ambient_K - state.coolantLeaving_K);
  }
}

const nominalFlow_m3_s = (model: UnitModel): number =>
  model.circuits.reduce((sum, physics) => sum + physics.waterFlow_m3_s, 0);
