import type { Statement } from '../../diagnosis/index.js';
import type { CircuitEntry, ModuleEntry } from '../../telemetry/index.js';

/**
 * What a closing sent, as columns of one length. A value that was not sent is `null` or `NaN`.
 * Time counts from the start of the closing and may begin before 0; current is positive while the module delivers.
 */
export interface ClosingTrace {
  time_s: ArrayLike<number>;
  voltage_V: ArrayLike<number | null>;
  current_A: ArrayLike<number | null>;
  valveOpening_pct: ArrayLike<number | null>;
}

export interface JudgeClosingInput {
  trace: ClosingTrace;
  module: ModuleEntry;
  /** The unit's circuits; only those that the module shuts are used. */
  circuits: CircuitEntry[];
  /** Module temperature at the closing, `null` when it was not sent. */
  temperature_K: number | null;
  startedAt_s: number;
  /** Mains contact at the time: 1 present, 0 gone, `null` unknown. */
  mains: 0 | 1 | null;
}

/** One closing, judged. Plain numbers only, so that hundreds of them are cheap to keep and to read. */
export interface ClosingJudgement {
  startedAt_s: number;
  /** `power-loss` only where the mains contact was seen gone; everything else counts as a self-test. */
  kind: 'self-test' | 'power-loss';
  /** False where the mains contact was not known, so that `kind` is an assumption. */
  kindSeen: boolean;
  temperature_K: number | null;
  samples: number;
  /** Median sample spacing while the module delivered, s. */
  sampling_s: number | null;
  capacitance_F: number | null;
  capacitanceUncertainty_F: number | null;
  capacitanceMethod: 'iec-window' | 'least-squares' | null;
  esr_Ohm: number | null;
  esrUncertainty_Ohm: number | null;
  /** Mean current while the module delivered. */
  current_A: number | null;
  /** Mean power taken from the module while it drove, measured. */
  drivePower_W: number | null;
  voltageBefore_V: number | null;
  voltageAfter_V: number | null;
  voltageLowest_V: number | null;
  /** Integral of voltage times current while the module delivered. */
  energyUsed_J: number | null;
  /** How long the module delivered drive power, s. */
  driveTime_s: number | null;
  openingBefore_pct: number | null;
  openingAfter_pct: number | null;
  /** From the start until the valve was first seen shut, s. */
  timeToShut_s: number | null;
  /** `null`: the telemetry cannot say. */
  shut: boolean | null;
  /** True where the valve was seen to travel and to end shut on stored energy. */
  proof: boolean;
  /** Energy that this closing should have needed from where it began, by steps, rate and drive power. */
  energyExpected_J: number | null;
  /** Why something above is missing, in plain sentences. */
  limits: Statement[];
}
