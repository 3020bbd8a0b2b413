import type { CircuitEffects } from '../../../faults/effects.js';
import type { CircuitState, CircuitSurroundings } from '../circuit-state.js';
import { meanOverDew } from '../condenser-difference.js';
import { isentropicEfficiency, type CircuitPhysics } from '../design.js';
import { at, workBetween } from '../../refrigerant-tables.js';

/**
 * Condenser, liquid line and discharge: a lump with one time constant, implicit, over one advance.
 *
 * Heat leaves by the log-mean difference between refrigerant and coolant: a blend is warmer at its dew point, where it
 * enters, than at its bubble point, where it leaves, and the bubble point stays above the coolant at any load.
 */
export function advanceCondenser(
  physics: CircuitPhysics,
  state: CircuitState,
  around: CircuitSurroundings,
  effects: CircuitEffects,
  seconds: number,
): void {
  const { design, tables } = physics;
  const work = workBetween(tables, state.evaporating_K, state.condensing_K) / isentropicEfficiency;
  const flow = state.compressorFlow_kg_s;
  state.power_W = flow * work;
  const rejected_W = state.heat_W + state.power_W;
  const fan = Math.max(0.12, Math.min(1, 0.12 + (state.condensing_K - design.leastCondensing_K) / 5));
  const bubble_K = at(tables.bubbleTemperature_K, state.condensing_K);
  const ua =
    physics.condenserUa_W_K *
    effects.condenserUa *
    fan *
    meanOverDew(state.condensing_K - around.coolant_K, bubble_K - around.coolant_K);
  const before = state.condensing_K;
  state.condensing_K =
    (before + (seconds / physics.condenser_J_K) * (rejected_W + ua * around.coolant_K)) /
    (1 + (seconds / physics.condenser_J_K) * ua);
  const outletEnthalpy =
    at(tables.vapourEnthalpy_J_kg, state.evaporating_K) +
    at(tables.vapourHeatCapacity, state.evaporating_K) * state.superheat_K +
    work;
  const discharge_K =
    state.condensing_K +
    Math.max(0, outletEnthalpy - at(tables.vapourEnthalpy_J_kg, state.condensing_K)) /
      at(tables.vapourHeatCapacity, state.condensing_K);
  state.dischargeSensor_K += (1 - Math.exp(-seconds / 45)) * (discharge_K - state.dischargeSensor_K);
  state.liquidSensor_K += (1 - Math.exp(-seconds / 25)) * (state.liquid_K - state.liquidSensor_K);
}
