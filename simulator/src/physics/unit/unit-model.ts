import type { UnitEntry } from '@coldrounds/core/telemetry';
import type { Fault } from '../../faults/fault.js';
import type { CircuitPhysics } from '../circuit/design.js';
import type { Climate, LoadProfile, StandPlan } from './environment.js';
import type { OperatingHabits } from './operating-habits.js';

/** Everything fixed about one simulated chiller. */
export interface UnitModel {
  site: { key: string; altitude_m: number; latitude_deg: number; timeZone: string };
  entry: UnitEntry;
  climate: Climate;
  load: LoadProfile;
  stand?: StandPlan;
  /** `slide`: load moves freely between 25 and 100 %; `stages`: half and full load per circuit. */
  capacityControl: 'slide' | 'stages';
  /** What the site does beside plain cooling. */
  habits?: OperatingHabits;
  /** Leaving-water temperature that capacity holds; left out: 7 C. */
  chilledWater?: ChilledWater;
  circuits: CircuitPhysics[];
  faults: Fault[];
  /** Setpoint of each circuit over time; an adaptive controller walks. */
  setpoints: SetpointPlan[];
  powerLosses: PowerLoss[];
  /** Local second of the day of the daily self-test; the unit stops for it. Null: no module, no test. */
  selfTest_s: number | null;
  seed: number;
  /** The moment to which the fault script is relative. */
  now_s: number;
  /** Where the valve of a circuit comes to rest when it is closed on stored energy from an opening. */
  closeOnStore?: (circuit: number, time_s: number, opening_pct: number) => number;
}

/** What leaves the evaporator, K, and between two local hours something else: a setback, or ice. */
export interface ChilledWater {
  leaving_K: number;
  night?: { leaving_K: number; from_h: number; hours: number };
}

export interface SetpointPlan {
  value_K: number;
  /** Added at no load, and the less of it the higher the load, K. */
  byLoad_K?: number;
  /** The controller searches: the setpoint walks between `least_K` and `value_K` and back, one step per `every_h`. */
  search?: { least_K: number; step_K: number; every_h: number };
}

export interface PowerLoss {
  start_s: number;
  end_s: number;
}

/** Temperature around a unit at an outdoor temperature, K: air-cooled units stand outdoors; water-cooled ones in a plant room that follows the weather a little. */
export const surroundings_K = (model: UnitModel, outdoor: number): number =>
  model.entry.condenser === 'air' ? outdoor : 294.15 + 0.15 * (outdoor - 291.15);
