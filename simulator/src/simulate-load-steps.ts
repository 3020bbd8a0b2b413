import { modelOf, type CircuitCase } from './circuit-case.js';
import { effectsAt } from './faults/apply.js';
import { newCircuit } from './physics/circuit/circuit-state.js';
import { advanceRunning } from './physics/circuit/running/running-circuit.js';
import { startCircuit } from './physics/circuit/start-and-stop.js';
import { pressureNoise_Pa } from './physics/unit/instruments.js';
import { seedOf } from './physics/random.js';

/** A compressor that steps between two loads, shares of full load, and holds each for so long. */
export interface LoadSteps {
  loads: readonly number[];
  hold_s: number;
}

/**
 * Superheat as the controller's own sensors have it, K, over its setpoint, every 10 s after the first step: a row for each
 * run, which differ by the wandering of the dry-out point alone. The water enters at what the mean of the loads makes of
 * it; the case's faults are there all the time.
 */
export function simulateLoadSteps(
  input: CircuitCase,
  { loads, hold_s }: LoadSteps,
  runs: number,
): Float64Array[] {
  const model = modelOf(input);
  const [physics] = model.circuits;
  const [entry] = model.entry.circuits;
  const effects = effectsAt(model.faults, entry.number, model.now_s, model.now_s, pressureNoise_Pa(entry));
  const setpoint_K = effects.setpoint_K > 0 ? effects.setpoint_K : model.setpoints[0].value_K;
  const mean = loads.reduce((sum, load) => sum + load, 0) / loads.length;
  const flow = Math.max(0.5, mean);
  const { design } = physics;
  const around = {
    entering_K: design.leavingWater_K + ((design.enteringWater_K - design.leavingWater_K) * mean) / flow,
    waterFlow_m3_s: physics.waterFlow_m3_s * flow,
    coolant_K: design.coolant_K,
    ambient_K: 295.15,
    loadTarget: loads[0],
    otherEvaporating_K: NaN,
    otherSuctionSensor_K: NaN,
    setpoint_K,
  };
  const rows = Math.round(hold_s / step_s);
  return Array.from({ length: runs }, (_, run) => {
    const state = newCircuit(physics, seedOf(input.seed, 'load steps', run), 293.15);
    startCircuit(physics, state, 0.6 * physics.nominalOpening_pct);
    const over_K = new Float64Array(rows * (loads.length - 1));
    for (let row = -settling_s / step_s; row < over_K.length; row++) {
      around.loadTarget = loads[row < 0 ? 0 : 1 + Math.floor(row / rows)];
      advanceRunning(physics, state, around, effects, step_s);
      if (row >= 0) over_K[row] = state.suctionSensor_K - state.evaporating_K - setpoint_K;
    }
    return over_K;
  });
}

const step_s = 10;
/** From the start to the first step. */
const settling_s = 1200;
