import type { CircuitState } from './circuit-state.js';
import type { CircuitPhysics } from './design.js';

/** Puts a standing circuit on: the valve takes its starting opening and the compressor its least load. */
export function startCircuit(physics: CircuitPhysics, state: CircuitState, opening_pct: number): void {
  state.mode = 'starting';
  state.inMode_s = 0;
  state.emptied = false;
  state.pumpingDown_s = 0;
  state.integral_pct = opening_pct;
  state.motor_pct = opening_pct;
  state.stem_pct = opening_pct;
  state.load = 0.1;
  // The valve opens a moment before the compressor starts: liquid is on its way already.
  state.inTransit_kg_s.fill(0.35 * physics.nominalFlow_kg_s);
}

/** Takes a circuit off; the standing circuit decides what its valve does then. */
export function stopCircuit(state: CircuitState): void {
  state.mode = 'standing';
  state.inMode_s = 0;
}

const longestPumpDown_s = 180;
/** So far under its design the evaporator is taken before the compressor stops. */
const pumpDownBy_K = 18;

/** Takes a circuit off after emptying its evaporator; called each step until the circuit stands. */
export function pumpDown(physics: CircuitPhysics, state: CircuitState, seconds: number): void {
  state.pumpingDown_s += seconds;
  const low = state.evaporating_K < physics.design.evaporating_K - pumpDownBy_K;
  if (!low && state.pumpingDown_s < longestPumpDown_s) return;
  stopCircuit(state);
  state.pumpingDown_s = 0;
  state.emptied = true;
  state.liquid_kg = 0;
  state.motor_pct = state.stem_pct = 0;
}
