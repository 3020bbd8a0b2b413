import { filled, median } from '../../../numerics/index.js';

/** One discharge as columns of one length. */
export interface Discharge {
  time_s: ArrayLike<number>;
  voltage_V: ArrayLike<number>;
  /** One number: constant current from the voltage peak on. Columns: measured, positive while discharging. */
  current_A: ArrayLike<number> | number;
  ratedVoltage_V: number;
}

export interface CapacitorEstimate {
  /** `null` where the curve does not show it; `reason` says why. */
  capacitance_F: number | null;
  /** One standard uncertainty, of the fit and the sampling; without the calibration of the sensors. */
  capacitanceUncertainty_F: number | null;
  /** `null` where sampling is too coarse to see the early step, or the current is never seen to change. */
  esr_Ohm: number | null;
  esrUncertainty_Ohm: number | null;
  method: 'iec-window' | 'least-squares' | null;
  /** Median spacing of the samples of the discharge. */
  sampling_s: number | null;
  meanCurrent_A: number | null;
  reason: 'too-few-samples' | 'no-discharge' | 'discharge-too-shallow' | null;
}

/** A swing below this fraction of the rated voltage gives no capacitance. */
export const leastSwing = 0.01;
/** No ESR is given if the uncertainty of its start is above this fraction of it. */
export const worstStartFraction = 0.1;

export type Capacitance = Pick<CapacitorEstimate, 'method'> & {
  capacitance_F: number;
  capacitanceUncertainty_F: number;
};

export interface Esr {
  esr_Ohm: number;
  uncertainty_Ohm: number;
}

/** No estimate, with the reason. */
export const noEstimate = (
  reason: CapacitorEstimate['reason'],
  sampling_s: number | null = null,
): CapacitorEstimate => ({
  capacitance_F: null,
  capacitanceUncertainty_F: null,
  esr_Ohm: null,
  esrUncertainty_Ohm: null,
  method: null,
  sampling_s,
  meanCurrent_A: null,
  reason,
});

/** Median time between the samples from `start` to `end`, s. */
export const medianSpacing = (time_s: ArrayLike<number>, start: number, end: number): number =>
  median(filled(end - start, (i) => time_s[start + i + 1]! - time_s[start + i]!));
