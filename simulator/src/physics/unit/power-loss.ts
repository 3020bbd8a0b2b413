import { stopCircuit } from '../circuit/start-and-stop.js';
import type { UnitModel } from './unit-model.js';
import type { UnitState } from './unit-state.js';

/** Whether mains is there at a time. */
export function isPowered(model: UnitModel, time_s: number): boolean {
  for (const loss of model.powerLosses) if (time_s >= loss.start_s && time_s < loss.end_s) return false;
  return true;
}

/** Stops every circuit where it is; the backup module, where there is one, brings its valve to rest. */
export function losePower(model: UnitModel, state: UnitState, time_s: number): void {
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
