import { effectsAt } from '../../faults/apply.js';
import { loadFraction, localTime, outdoor_K, zoneOffset_s } from './environment.js';
import { frozenTemperature_K, pressureNoise_Pa } from './instruments.js';
import { seedOf } from '../random.js';
import { surroundings_K, type SetpointPlan, type UnitModel } from './unit-model.js';
import type { UnitState } from './unit-state.js';

/** Brings what changes over minutes up to a time: weather, cooling, load, what faults do, setpoints. */
export function refreshSlowChanges(model: UnitModel, state: UnitState, time_s: number): void {
  const local = localTime(time_s, zoneOffset_s(model.site.timeZone, time_s));
  const outdoor = outdoor_K(model.climate, model.site.key, model.site.latitude_deg, time_s, local);
  state.outdoor_K = outdoor;
  state.ambient_K = surroundings_K(model, outdoor);
  const day = 0.6 + 0.4 * Math.cos((2 * Math.PI * (local.hour - 15)) / 24);
  const wetBulb = outdoor - model.climate.wetBulbDepression_K * day;
  state.coolant_K = model.entry.condenser === 'air' ? outdoor : Math.max(293.15, wetBulb + 6);
  state.load = loadFraction(model.load, seedOf(model.seed, model.entry.key, 'load'), time_s, local, outdoor);
  for (let i = 0; i < model.circuits.length; i++) {
    const entry = model.entry.circuits[i];
    state.effects[i] = effectsAt(model.faults, entry.number, time_s, model.now_s, pressureNoise_Pa(entry));
    state.setpoint_K[i] = setpointAt(model.setpoints[i], time_s, state.loads[i]);
    const frozen = state.effects[i];
    const { design, tables } = model.circuits[i];
    if (frozen.suctionTemperature.frozen)
      frozen.controlTemperature_K = frozenTemperature_K(design.evaporating_K);
    if (frozen.suctionPressure.frozen)
      frozen.controlPressure_Pa = tables.dewPressure_Pa[Math.round((design.evaporating_K - 233.15) * 2)];
  }
}

/** Setpoint of a plan at a time, K: steps down to the least, then back up, or follows the load. */
function setpointAt(plan: SetpointPlan, time_s: number, load: number): number {
  if (!plan.search) return plan.value_K + (plan.byLoad_K ?? 0) * (1 - load);
  const { least_K, step_K, every_h } = plan.search;
  const steps = Math.max(1, Math.round((plan.value_K - least_K) / step_K));
  const phase = Math.floor(time_s / (every_h * 3600)) % (2 * steps);
  const down = phase <= steps ? phase : 2 * steps - phase;
  return plan.value_K - down * step_K;
}
