import type { CircuitState, CircuitSurroundings } from './circuit-state.js';
import { waterHeat_J_m3K, type CircuitPhysics } from './design.js';
import type { OperatingHabits } from '../unit/operating-habits.js';
import { nextState, normalOf } from '../random.js';

const suctionSuperheat_K = 6;
const dischargeSuperheat_K = 25;
const subcooling_K = 5;

/** Moves a value toward another by a first-order lag. */
const toward = (from: number, to: number, seconds: number, time_s: number) =>
  from + (to - from) * (1 - Math.exp(-seconds / time_s));

/**
 * Advances a circuit that heats: the water exchanger condenses and the other evaporates. Both sides as first-order lags
 * toward their difference from water and outdoors at the load of the time; what is measured at the water exchanger's
 * port is then discharge gas.
 */
export function advanceReversed(
  physics: CircuitPhysics,
  state: CircuitState,
  around: CircuitSurroundings,
  sensors: NonNullable<OperatingHabits['reversed']>['sensors'],
  seconds: number,
): void {
  state.load = toward(state.load, around.loadTarget, seconds, 40);
  const heat_W = 1.1 * state.load * physics.design.capacity_W;
  const flow_W_K = Math.max(0.2 * physics.waterFlow_m3_s, around.waterFlow_m3_s) * waterHeat_J_m3K;
  state.leaving_K = toward(state.leaving_K, around.entering_K + heat_W / flow_W_K, seconds, 30);
  state.condensing_K = toward(state.condensing_K, state.leaving_K + 4 * state.load + 1, seconds, 60);
  state.evaporating_K = toward(state.evaporating_K, around.coolant_K - 8 * state.load - 2, seconds, 60);
  state.random = nextState(state.random);
  state.dryout = toward(state.dryout, 0, seconds, 20) + 0.15 * normalOf(state.random, 8);
  state.superheat_K = suctionSuperheat_K + state.dryout;
  const opening_pct = 25 + 30 * state.load;
  if (Math.abs(opening_pct - state.motor_pct) > physics.design.moveBand_pct)
    state.motor_pct = state.stem_pct = opening_pct;
  const discharge_K = state.condensing_K + dischargeSuperheat_K;
  const inlet_K = state.evaporating_K + state.superheat_K;
  const felt_K = sensors === 'temperature-at-compressor' ? inlet_K : discharge_K - 2;
  state.outlet_K = inlet_K;
  state.suctionSensor_K = toward(state.suctionSensor_K, felt_K, seconds, 20);
  state.dischargeSensor_K = toward(state.dischargeSensor_K, discharge_K, seconds, 45);
  state.liquid_K = state.condensing_K - subcooling_K;
  state.liquidSensor_K = toward(state.liquidSensor_K, state.liquid_K, seconds, 25);
  settle(physics, state, heat_W, seconds);
}

/**
 * Advances a circuit that defrosts. Hot gas: the evaporator is warmed above the water from inside, its gas leaves about
 * saturated, the valve is shut. Reverse cycle: a heating unit cools its warm water for some minutes, with wet suction gas.
 */
export function advanceDefrost(
  physics: CircuitPhysics,
  state: CircuitState,
  around: CircuitSurroundings,
  kind: 'hot-gas' | 'reverse-cycle',
  seconds: number,
): void {
  const hotGas = kind === 'hot-gas';
  state.load = toward(state.load, 0.6, seconds, 30);
  const evaporating_K = hotGas ? around.entering_K + 10 : around.entering_K - 14;
  state.evaporating_K = toward(state.evaporating_K, evaporating_K, seconds, 70);
  state.condensing_K = toward(
    state.condensing_K,
    Math.max(state.evaporating_K + 9, hotGas ? 0 : 288.15),
    seconds,
    100,
  );
  state.leaving_K = toward(state.leaving_K, around.entering_K + (hotGas ? 1.2 : -3), seconds, 40);
  state.superheat_K = 0.6;
  state.motor_pct = state.stem_pct = toward(state.motor_pct, hotGas ? 0 : 90, seconds, 10);
  const inlet_K = state.evaporating_K + state.superheat_K;
  state.outlet_K = inlet_K;
  state.suctionSensor_K = toward(state.suctionSensor_K, inlet_K, seconds, 20);
  state.dischargeSensor_K = toward(state.dischargeSensor_K, state.condensing_K + 12, seconds, 60);
  state.liquid_K = state.condensing_K - 2;
  state.liquidSensor_K = toward(state.liquidSensor_K, state.liquid_K, seconds, 40);
  settle(physics, state, 0.2 * physics.design.capacity_W, seconds);
}

function settle(physics: CircuitPhysics, state: CircuitState, heat_W: number, seconds: number): void {
  state.mode = 'running';
  state.inMode_s += seconds;
  state.seenSuperheat_K = state.superheat_K;
  state.liquid_kg = 0.8 * physics.fullLiquid_kg;
  state.valveFlow_kg_s = state.compressorFlow_kg_s = physics.nominalFlow_kg_s * state.load;
  state.liquidCarry_kg_s = 0;
  state.heat_W = heat_W;
  state.power_W = 0.25 * heat_W;
}
