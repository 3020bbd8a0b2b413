import type { CircuitEffects } from '../../../faults/effects.js';
import type { CircuitState, CircuitSurroundings } from '../circuit-state.js';
import { isentropicEfficiency, type CircuitPhysics } from '../design.js';
import { coolantConductance, leastCoolant } from '../coolant-side.js';
import { highSide_Pa } from '../high-side.js';
import { logMean_K } from '../log-mean.js';
import { at, dewTemperature, workBetween } from '../../refrigerant-tables.js';
import type { RunningConditions } from './running-conditions.js';

/** So much faster than its share gas that does not condense takes away conductance, by the film that it forms. Judgement, no source. */
const gasFilm = 5;
const leavingLag_s = { water: 25, air: 10 };

/**
 * Condenser, liquid line and discharge: a lump with one time constant, implicit, over one advance.
 *
 * Heat leaves by the log-mean difference of counterflow: dew point against leaving coolant, bubble point against entering.
 * Fans or a water valve throttle the coolant where the pressure falls towards that of the least condensing temperature; conductance falls with
 * the coolant's film, with liquid that stands on the surface and with gas that does not condense. The compressor lifts to
 * the pressure of vapour and gas together, and delivers again what leaks back inside it.
 */
export function advanceCondenser(
  physics: CircuitPhysics,
  state: CircuitState,
  around: CircuitSurroundings,
  effects: CircuitEffects,
  conditions: RunningConditions,
  seconds: number,
): void {
  const { tables } = physics;
  const lifted_K =
    effects.gas > 0
      ? dewTemperature(tables, highSide_Pa(physics, state.condensing_K, effects))
      : state.condensing_K;
  const work =
    workBetween(tables, state.evaporating_K, lifted_K) / (isentropicEfficiency * effects.delivered);
  const flow = state.compressorFlow_kg_s;
  state.power_W = flow * work;
  throttleCoolant(physics, state, lifted_K);
  rejectHeat(physics, state, around, effects, conditions, seconds);
  const outletEnthalpy =
    at(tables.vapourEnthalpy_J_kg, state.evaporating_K) +
    at(tables.vapourHeatCapacity, state.evaporating_K) * state.superheat_K +
    work;
  const discharge_K =
    lifted_K +
    Math.max(0, outletEnthalpy - at(tables.vapourEnthalpy_J_kg, lifted_K)) /
      at(tables.vapourHeatCapacity, lifted_K);
  state.dischargeSensor_K += (1 - Math.exp(-seconds / 45)) * (discharge_K - state.dischargeSensor_K);
  state.liquidSensor_K += (1 - Math.exp(-seconds / 25)) * (state.liquid_K - state.liquidSensor_K);
}

/** Fans and water valve follow the high side's pressure, which they know as a condensing temperature. */
function throttleCoolant({ design }: CircuitPhysics, state: CircuitState, condensing_K: number): void {
  const wanted = leastCoolant + (condensing_K - design.leastCondensing_K) / design.condensingBand_K;
  state.coolantControl = Math.max(leastCoolant, Math.min(1, wanted));
}

function rejectHeat(
  physics: CircuitPhysics,
  state: CircuitState,
  around: CircuitSurroundings,
  effects: CircuitEffects,
  conditions: RunningConditions,
  seconds: number,
): void {
  const { design, tables } = physics;
  const dew_K = state.condensing_K;
  const bubble_K = at(tables.bubbleTemperature_K, dew_K);
  const coolant = state.coolantControl * effects.condenserFlow;
  state.coolant_W_K = coolant * physics.coolant_W_K;
  const conductance =
    (physics.condenserUa_W_K * coolantConductance(physics, effects, coolant) * conditions.condensingArea) /
    (1 + gasFilm * effects.gas);
  const above_K = Math.max(0.5, dew_K - around.coolant_K);
  const left_W = Math.min(
    conductance * logMean_K(dew_K - state.coolantLeaving_K, bubble_K - around.coolant_K),
    state.coolant_W_K * above_K,
  );
  const perKelvin = left_W / above_K;
  const rejected_W = state.heat_W + state.power_W;
  state.condensing_K =
    (dew_K + (seconds / physics.condenser_J_K) * (rejected_W + perKelvin * around.coolant_K)) /
    (1 + (seconds / physics.condenser_J_K) * perKelvin);
  state.coolantLeaving_K +=
    (1 - Math.exp(-seconds / leavingLag_s[design.condenser])) *
    (around.coolant_K + left_W / state.coolant_W_K - state.coolantLeaving_K);
}
