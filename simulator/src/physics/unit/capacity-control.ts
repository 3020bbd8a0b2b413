import { smoothNoise } from '../random.js';
import { localTime, zoneOffset_s } from './environment.js';
import type { UnitModel } from './unit-model.js';
import { step_s, type UnitState } from './unit-state.js';

const usualLeaving_K = 280.15;

/** Leaving-water control: a slow PI with a slide, or stages with bands and least times. */
export function controlCapacity(model: UnitModel, state: UnitState, mayRun: boolean, pump: boolean): void {
  state.sinceSwitch_s += step_s;
  state.sinceStage_s += step_s;
  const circuits = state.loads.length;
  if (!mayRun) {
    if (state.on) {
      state.on = false;
      state.sinceSwitch_s = 0;
    }
    state.stage = 0;
    state.loads.fill(0);
    return;
  }
  const leavingSetpoint_K = leavingSetpoint(model, state.time_s);
  const error = state.leaving_K - leavingSetpoint_K;
  if (!state.on) {
    if (state.sinceSwitch_s < 300 || !pump || state.entering_K < leavingSetpoint_K + 2.5) return;
    state.on = true;
    state.sinceSwitch_s = 0;
    state.integral = state.demand = Math.max(0.35, Math.min(1, state.load));
    state.stage = Math.max(1, Math.round(state.demand * 2 * circuits));
    state.sinceStage_s = 0;
    for (let i = 0; i < circuits; i++) state.loads[i] = 0;
  }
  if (model.capacityControl === 'slide') {
    state.integral = Math.max(0.25, Math.min(1, state.integral + (0.09 * error * step_s) / 420));
    const demand = Math.max(0.25, Math.min(1, state.integral + 0.09 * error));
    if (Math.abs(demand - state.demand) > 0.025) state.demand = Math.round(demand * 50) / 50;
    state.loads.fill(state.demand);
    if (state.demand <= 0.26 && error < -1.5 && state.sinceSwitch_s > 900) switchOff(state);
    return;
  }
  const stages = 2 * circuits;
  if (state.sinceStage_s >= 300 && state.sinceSwitch_s > 300) {
    const filtered = error + 0.15 * smoothNoise(7, state.time_s, 300);
    if (filtered > 0.9 && state.stage < stages) {
      state.stage++;
      state.sinceStage_s = 0;
    } else if (filtered < -0.9) {
      if (state.stage > 1) {
        state.stage--;
        state.sinceStage_s = 0;
      } else if (error < -1.8 && state.sinceSwitch_s > 600) {
        switchOff(state);
        return;
      }
    }
  }
  state.demand = state.stage / stages;
  for (let i = 0; i < circuits; i++) {
    const own = Math.floor((state.stage + circuits - 1 - i) / circuits);
    state.loads[i] = own <= 0 ? 0 : own === 1 ? 0.5 : 1;
  }
}

function leavingSetpoint({ chilledWater, site }: UnitModel, time_s: number): number {
  if (!chilledWater) return usualLeaving_K;
  const { leaving_K, night } = chilledWater;
  if (!night) return leaving_K;
  const { hour } = localTime(time_s, zoneOffset_s(site.timeZone, time_s));
  return (hour - night.from_h + 24) % 24 < night.hours ? night.leaving_K : leaving_K;
}

function switchOff(state: UnitState): void {
  state.on = false;
  state.sinceSwitch_s = 0;
  state.stage = 0;
  state.loads.fill(0);
}
