import type { EvaporatorType, ReportingHabit } from '../telemetry/index.js';

/**
 * What a person says of an installation, in SI units. `null` stands for "not known" and is always an answer; what is then
 * assumed, and which judgements that costs, is said by `completeUnit` and `whatIsMissing`.
 */
export interface UnitDraft {
  key: string;
  name: string;
  refrigerant: string;
  nominalCapacity_W: number;
  condenser: 'air' | 'water';
  evaporator: EvaporatorType;
  reversible: boolean;
  /** Null: learned from the telemetry. */
  reporting: ReportingHabit | null;
  /** ISO date. */
  commissionedOn: string | null;
  controllerFirmware: string | null;
  circuits: CircuitDraft[];
  modules: ModuleDraft[];
}

export type PressureReference = 'absolute' | 'gauge';

export interface CircuitDraft {
  number: number;
  /** What the transducers read from; their spans are in the same reference. */
  suctionReference: PressureReference;
  dischargeReference: PressureReference;
  suctionMinimum_Pa: number | null;
  suctionMaximum_Pa: number | null;
  suctionTolerance_Pa: number | null;
  dischargeMinimum_Pa: number | null;
  dischargeMaximum_Pa: number | null;
  dischargeTolerance_Pa: number | null;
  suctionTemperatureTolerance_K: number | null;
  /** In words of the user's own, by which valves are compared. */
  valveSize: string | null;
  kv_m3_h: number | null;
  motors: 1 | 2;
  fullStroke_steps: number | null;
  rate_steps_s: number | null;
  refrigerantCharge_kg: number | null;
  floodbackLimit_K: number | null;
  safetyMargin_K: number | null;
}

export interface ModuleDraft {
  number: number;
  circuits: number[];
  ratedVoltage_V: number;
  minimumVoltage_V: number;
  ratedCapacitance_F: number;
  drivePower_W: number;
  cellsInSeries: number | null;
  ratedEsr_Ohm: number | null;
  overdrive_pct: number | null;
  /** ISO date. */
  installedOn: string | null;
}

/** A circuit of which nothing is known but what its transducers read from. */
export const emptyCircuitDraft = (number: number, reference: PressureReference): CircuitDraft => ({
  number,
  suctionReference: reference,
  dischargeReference: reference,
  suctionMinimum_Pa: null,
  suctionMaximum_Pa: null,
  suctionTolerance_Pa: null,
  dischargeMinimum_Pa: null,
  dischargeMaximum_Pa: null,
  dischargeTolerance_Pa: null,
  suctionTemperatureTolerance_K: null,
  valveSize: null,
  kv_m3_h: null,
  motors: 1,
  fullStroke_steps: null,
  rate_steps_s: null,
  refrigerantCharge_kg: null,
  floodbackLimit_K: null,
  safetyMargin_K: null,
});
