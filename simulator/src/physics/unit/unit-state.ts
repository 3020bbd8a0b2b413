import type { CircuitEffects } from '../../faults/effects.js';
import { newCircuit, type CircuitState, type CircuitSurroundings } from '../circuit/circuit-state.js';
import { localTime, outdoor_K, zoneOffset_s } from './environment.js';
import { seedOf } from '../random.js';
import { surroundings_K, type UnitModel } from './unit-model.js';

/** Time between two states of a unit, and so between two samples of its circuits. */
export const step_s = 10;

/** All that changes in one unit. */
export interface UnitState {
  time_s: number;
  circuits: CircuitState[];
  effects: CircuitEffects[];
  entering_K: number;
  leaving_K: number;
  flow_m3_s: number;
  ambient_K: number;
  outdoor_K: number;
  coolant_K: number;
  /** The condenser's side at its sensors: entering and leaving, water flow, and how fast the fans turn. */
  coolantEntering_K: number;
  coolantLeaving_K: number;
  coolantFlow_m3_s: number;
  fan_pct: number;
  demand: number;
  integral: number;
  loads: number[];
  stage: number;
  sinceStage_s: number;
  on: boolean;
  sinceSwitch_s: number;
  load: number;
  setpoint_K: number[];
  mains: boolean;
  exchange: number;
  around: CircuitSurroundings;
}

/** A unit that has stood for hours, at the outdoor temperature of the time. */
export function newUnit(model: UnitModel, time_s: number): UnitState {
  const local = localTime(time_s, zoneOffset_s(model.site.timeZone, time_s));
  const outdoor = outdoor_K(model.climate, model.site.key, model.site.latitude_deg, time_s, local);
  const ambient = surroundings_K(model, outdoor);
  const around = {
    entering_K: ambient,
    waterFlow_m3_s: 0,
    coolant_K: ambient,
    ambient_K: ambient,
    loadTarget: 0,
    otherEvaporating_K: NaN,
    otherSuctionSensor_K: NaN,
    setpoint_K: 6,
  };
  return {
    time_s,
    circuits: model.circuits.map((physics, i) =>
      newCircuit(physics, seedOf(model.seed, model.entry.key, i), ambient),
    ),
    effects: [],
    entering_K: Math.min(ambient, 289.15),
    leaving_K: Math.min(ambient, 287.15),
    flow_m3_s: 0,
    ambient_K: ambient,
    outdoor_K: outdoor,
    coolant_K: ambient,
    coolantEntering_K: ambient,
    coolantLeaving_K: ambient,
    coolantFlow_m3_s: 0,
    fan_pct: 0,
    demand: 0.5,
    integral: 0.5,
    loads: model.circuits.map(() => 0),
    stage: 0,
    sinceStage_s: 0,
    on: false,
    sinceSwitch_s: 36_000,
    load: 0.5,
    setpoint_K: model.setpoints.map((plan) => plan.value_K),
    mains: true,
    exchange: 0,
    around,
  };
}
