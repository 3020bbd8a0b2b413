import type { CircuitEffects } from '../../../faults/effects.js';
import type { CircuitState, CircuitSurroundings } from '../circuit-state.js';
import { advanceCondenser } from './condenser.js';
import type { CircuitPhysics } from '../design.js';
import { advanceEvaporator, type EvaporatorFlows } from './evaporator.js';
import { runningConditions } from './running-conditions.js';
import { controlSettings, controlSuperheat, moveStem, senseSuperheat } from './superheat-control.js';

const loadSlew_per_s = 0.04;
const pumpDownLoad = 0.3;
const startingSlew_per_s = 0.012;

/** Advances a running circuit by whole seconds: compressor, evaporator, sensors, controller and valve each second; the condenser once. */
export function advanceRunning(
  physics: CircuitPhysics,
  state: CircuitState,
  around: CircuitSurroundings,
  effects: CircuitEffects,
  seconds: number,
): void {
  const conditions = runningConditions(physics, state, around, effects);
  const settings = controlSettings(physics, around, effects);
  const flows: EvaporatorFlows = { valve_kg_s: 0, drawn_kg_s: 0, carry_kg_s: 0, heat_W: 0, pressureSlope: 0 };
  let valve = 0;
  let compressor = 0;
  let carry = 0;
  let heat = 0;
  for (let second = 0; second < seconds; second++) {
    moveLoad(state, state.pumpingDown_s > 0 ? pumpDownLoad : around.loadTarget);
    advanceEvaporator(physics, state, conditions, around.entering_K, flows);
    senseSuperheat(physics, state, effects, settings, around.ambient_K, flows.pressureSlope);
    controlSuperheat(state, settings);
    moveStem(state, effects);
    valve += flows.valve_kg_s;
    compressor += flows.drawn_kg_s + flows.carry_kg_s;
    carry += flows.carry_kg_s;
    heat += flows.heat_W;
  }
  state.outlet_K = state.evaporating_K + state.superheat_K;
  state.valveFlow_kg_s = valve / seconds;
  state.compressorFlow_kg_s = compressor / seconds;
  state.liquidCarry_kg_s = carry / seconds;
  state.heat_W = heat / seconds;
  advanceCondenser(physics, state, around, effects, conditions, seconds);
}

/** Compressor load slides to its target; the controller knows it and moves ahead (feed-forward). */
function moveLoad(state: CircuitState, loadTarget: number): void {
  const starting = state.mode === 'starting';
  const target = starting ? Math.min(loadTarget, 0.5) : loadTarget;
  if (state.load === target) return;
  const before = state.load;
  const slew = starting ? startingSlew_per_s : loadSlew_per_s;
  state.load += Math.max(-slew, Math.min(slew, target - before));
  if (!starting && before > 0.1) state.integral_pct *= 1 + 0.7 * (state.load / before - 1);
}
