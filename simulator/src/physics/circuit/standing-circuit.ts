import type { CircuitState, CircuitSurroundings } from './circuit-state.js';
import type { CircuitPhysics } from './design.js';
import { at } from '../refrigerant-tables.js';

const shell_s = 2700;
const pipe_s = 900;
const condenserCooling_s = 1500;
const boilUp_s = 180;
const seepage_s = 15 * 3600;
/** Under this, a valve counts as tight, %. */
const leastPassing_pct = 0.05;

/** Opening, %, that passes what a standing circuit's valve passes: stem and leak (a valve just off its seat passes three quarters of its share). */
const passing_pct = (state: CircuitState, leakBy: number): number =>
  Math.max(0, state.stem_pct) + (100 * leakBy) / 0.75;

/**
 * Advances a standing circuit. Behind a shut valve, each side's pressure follows the temperature of its coldest
 * large body: the evaporator its shell and water, the condenser its surroundings. Through a valve that stayed
 * open, pressures meet within minutes and liquid fills the evaporator.
 */
export function advanceStanding(
  physics: CircuitPhysics,
  state: CircuitState,
  around: CircuitSurroundings,
  seconds: number,
  pumpRunning: boolean,
  valveDriven: boolean,
  leakBy: number,
): void {
  const { design, tables } = physics;
  const toward = (from: number, to: number, time_s: number) =>
    from + (to - from) * (1 - Math.exp(-seconds / time_s));
  if (valveDriven && state.motor_pct > 0) {
    const rate_pct = (100 * design.rate_steps_s) / design.fullStroke_steps;
    state.motor_pct = Math.max(0, state.motor_pct - rate_pct * seconds);
    state.stem_pct = Math.max(0, Math.min(state.stem_pct, state.motor_pct) + 0);
  }
  state.load = 0;
  state.leaving_K = pumpRunning
    ? toward(state.leaving_K, around.entering_K, 60)
    : toward(state.leaving_K, around.ambient_K, shell_s);
  // Without liquid nothing boils up: the pressure only creeps back, as refrigerant seeps past shut valves.
  state.evaporating_K = toward(
    state.evaporating_K,
    state.leaving_K,
    state.emptied && passing_pct(state, leakBy) < leastPassing_pct ? seepage_s : boilUp_s,
  );
  state.condensing_K = toward(state.condensing_K, around.coolant_K, condenserCooling_s);
  const open = passing_pct(state, leakBy);
  if (open > leastPassing_pct && state.inMode_s > 10) {
    state.emptied = false;
    const meet_s = 4000 / open;
    const fraction = 1 - Math.exp(-seconds / meet_s);
    const middle = 0.75 * state.evaporating_K + 0.25 * state.condensing_K;
    state.condensing_K += fraction * (middle - state.condensing_K);
    state.evaporating_K += fraction * (middle - state.evaporating_K) * 0.5;
    state.liquid_kg += fraction * (1.35 * physics.fullLiquid_kg - state.liquid_kg);
  } else if (!state.emptied && state.liquid_kg <= physics.fullLiquid_kg) {
    state.liquid_kg = toward(state.liquid_kg, 0.3 * physics.fullLiquid_kg, 600);
  }
  // Liquid that drifted in over a valve left open has nowhere to go: it waits for the compressor.
  state.suctionSensor_K = toward(
    state.suctionSensor_K,
    0.6 * around.ambient_K + 0.4 * Math.max(state.evaporating_K, Math.min(around.ambient_K, state.leaving_K)),
    pipe_s,
  );
  state.outlet_K = state.suctionSensor_K;
  state.dischargeSensor_K = toward(state.dischargeSensor_K, around.ambient_K, pipe_s * 1.5);
  state.liquid_K = at(tables.bubbleTemperature_K, state.condensing_K);
  state.liquidSensor_K = toward(state.liquidSensor_K, around.ambient_K, pipe_s);
  state.superheat_K = Math.max(0, state.suctionSensor_K - state.evaporating_K);
  state.seenSuperheat_K = state.superheat_K;
  state.valveFlow_kg_s = 0;
  state.compressorFlow_kg_s = 0;
  state.liquidCarry_kg_s = 0;
  state.heat_W = 0;
  state.power_W = 0;
  state.coolantControl = 0;
  state.coolant_W_K = 0;
  state.coolantLeaving_K = toward(state.coolantLeaving_K, around.ambient_K, pipe_s);
  state.dryout = 0;
  state.inMode_s += seconds;
}
