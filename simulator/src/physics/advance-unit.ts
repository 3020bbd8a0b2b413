import { isActive } from '../faults/fault.js';
import { controlCapacity } from './capacity-control.js';
import { waterHeat_J_m3K } from './design.js';
import { localTime, standsByPlan, zoneOffset_s } from './environment.js';
import { isPowered, losePower } from './power-loss.js';
import { seedOf } from './random.js';
import { advanceRunning } from './running-circuit.js';
import { refreshSlowChanges } from './slow-changes.js';
import { advanceStanding } from './standing-circuit.js';
import { startCircuit, stopCircuit } from './start-and-stop.js';
import type { UnitModel } from './unit-model.js';
import { step_s, type UnitState } from './unit-state.js';

const restartDelay_s = 300;

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
  const powered = isPowered(model, time_s);
  if (!powered && state.mains) losePower(model, state, time_s);
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
