import {
  leastSwing,
  medianSpacing,
  noEstimate,
  worstStartFraction,
  type Capacitance,
  type CapacitorEstimate,
  type Discharge,
  type Esr,
} from './discharge.js';
import { valueAt, crossing, windowBottom, windowCapacitance, windowTop } from './iec-window.js';
import { fitLinear, standardError } from '../../../numerics/index.js';
import { longestDrive } from './longest-drive.js';

/** What leaving the ESR out can do to the capacitance of a short drive at constant power, relative. */
const esrLeftOut = 0.01;
/** So many samples of rest before the drive are enough to fix the step. */
const restSamples = 20;

/** Estimate from the longest drive of a discharge whose current was measured along with the voltage. */
export function estimateWithMeasuredCurrent(
  discharge: Discharge,
  current_A: ArrayLike<number>,
): CapacitorEstimate {
  const { time_s, ratedVoltage_V } = discharge;
  const drive = longestDrive(time_s, current_A);
  if (!drive) return noEstimate(time_s.length < 3 ? 'too-few-samples' : 'no-discharge');
  const { start, end } = drive;
  if (end - start < 2) return noEstimate('too-few-samples');
  const sampling_s = medianSpacing(time_s, start, end);

  const columns = columnsOfDrive(discharge, current_A, start, end);
  const driven_C = columns.charge[end - columns.from]! - columns.charge[start - columns.from]!;
  const driven_s = time_s[end]! - time_s[start]!;
  const meanCurrent_A = driven_s > 0 ? driven_C / driven_s : null;
  const joint = fitWithStep(columns, time_s);
  const line = joint?.line ?? fitWithoutStep(columns);
  if (!line) return noEstimate('too-few-samples', sampling_s);
  const { slope, slopeError } = line;
  if (!(-slope * driven_C >= leastSwing * ratedVoltage_V))
    return { ...noEstimate('discharge-too-shallow', sampling_s), meanCurrent_A };

  const esr = joint?.esr ?? null;
  const inWindow = capacitanceInWindow(discharge, current_A, start, end, esr?.esr_Ohm ?? 0);
  return {
    capacitance_F: inWindow?.capacitance_F ?? -1 / slope,
    capacitanceUncertainty_F: inWindow?.capacitanceUncertainty_F ?? slopeError / (slope * slope),
    method: inWindow ? 'iec-window' : 'least-squares',
    esr_Ohm: esr?.esr_Ohm ?? null,
    esrUncertainty_Ohm: esr?.uncertainty_Ohm ?? null,
    sampling_s,
    meanCurrent_A,
    reason: null,
  };
}

/** A drive from `start` to `end` of the discharge, as columns that begin at sample `from` and end at sample `to`. */
interface DriveColumns {
  start: number;
  end: number;
  from: number;
  to: number;
  /** The closing itself set the record off: its first sample, and it alone, is at rest. */
  setOff: boolean;
  ones: Float64Array;
  current: Float64Array;
  /** Drawn since sample `from`, C. */
  charge: Float64Array;
  voltage: Float64Array;
}

function columnsOfDrive(
  { time_s, voltage_V }: Discharge,
  current_A: ArrayLike<number>,
  start: number,
  end: number,
): DriveColumns {
  // With no rest before the drive, the step at its end serves, if it was sampled before the charge redistributes.
  const from = Math.max(0, start - restSamples);
  let to = end;
  if (from === start) {
    const soon_s = Math.max(0.1, 3 * medianSpacing(time_s, start, end));
    while (to + 1 < time_s.length && time_s[to + 1]! - time_s[end]! <= soon_s) to++;
  }
  const n = to - from + 1;
  // Where the drive began between two samples is not known: half way is taken. Where the closing set the record off,
  // the drive began right after the first sample.
  const setOff = start === 1;
  const current = new Float64Array(n);
  const charge = new Float64Array(n);
  const voltage = new Float64Array(n);
  for (let i = 0; i < n; i++) {
    current[i] = current_A[from + i]!;
    voltage[i] = voltage_V[from + i]!;
    if (i === 0) continue;
    charge[i] =
      charge[i - 1]! +
      (i === 1 && setOff ? current[i]! : (current[i]! + current[i - 1]!) / 2) *
        (time_s[from + i]! - time_s[from + i - 1]!);
  }
  return { start, end, from, to, setOff, ones: new Float64Array(n).fill(1), current, charge, voltage };
}

/** Voltage against charge, V/C, negative; and its standard error. */
interface ChargeLine {
  slope: number;
  slopeError: number;
}

/**
 * Voltage by current and charge together. Its line holds wherever the voltage steps down with the current: an error of
 * the start goes into the step alone, so the line gives the capacitance even where the step gives no ESR.
 */
function fitWithStep(
  { start, end, from, to, setOff, ones, current, charge, voltage }: DriveColumns,
  time_s: ArrayLike<number>,
): { line: ChargeLine; esr: Esr | null } | null {
  if (from === start && to === end) return null;
  const joint = fitLinear([ones, current, charge], voltage);
  if (!joint || joint.degreesOfFreedom < 1) return null;
  const esr_Ohm = -joint.coefficients[1]!;
  if (!(esr_Ohm > 0)) return null;
  const slope = joint.coefficients[2]!;
  const line = { slope, slopeError: standardError(joint, 2) };
  const stepSpacing_s = from < start ? time_s[start]! - time_s[start - 1]! : time_s[end + 1]! - time_s[end]!;
  // The charge of the step's own interval is known to half of it, to a quarter where the closing set the record off.
  const startFraction = (-slope * stepSpacing_s) / ((setOff ? 4 : 2) * esr_Ohm);
  if (!(slope < 0 && startFraction <= worstStartFraction)) return { line, esr: null };
  const uncertainty_Ohm = Math.hypot(standardError(joint, 1), (esr_Ohm * startFraction) / Math.sqrt(3));
  return { line, esr: { esr_Ohm, uncertainty_Ohm } };
}

/** Without the step nothing tells current and charge apart: the line of voltage over charge while driving. */
function fitWithoutStep({ start, end, from, ones, charge, voltage }: DriveColumns): ChargeLine | null {
  const s = start - from;
  const e = end - from + 1;
  const alone = fitLinear([ones.subarray(s, e), charge.subarray(s, e)], voltage.subarray(s, e));
  if (!alone || alone.degreesOfFreedom < 1) return null;
  const slope = alone.coefficients[1]!;
  return { slope, slopeError: Math.hypot(standardError(alone, 1), esrLeftOut * Math.abs(slope)) };
}

/** Charge over voltage between 80 and 40 % of the rated voltage, the change of the ESR drop put back. */
function capacitanceInWindow(
  { time_s, voltage_V, ratedVoltage_V }: Discharge,
  current_A: ArrayLike<number>,
  start: number,
  end: number,
  esr_Ohm: number,
): Capacitance | null {
  const from = Math.max(0, start - 1);
  const first = crossing(voltage_V, windowTop * ratedVoltage_V, from, end);
  const second = crossing(voltage_V, windowBottom * ratedVoltage_V, from, end);
  if (!first || !second || first.index < start) return null;
  const i1 = valueAt(current_A, first);
  const i2 = valueAt(current_A, second);
  let charge_C = 0;
  let previousTime = valueAt(time_s, first);
  let previousCurrent = i1;
  for (let i = first.index + 1; i <= second.index; i++) {
    charge_C += ((previousCurrent + current_A[i]!) / 2) * (time_s[i]! - previousTime);
    previousTime = time_s[i]!;
    previousCurrent = current_A[i]!;
  }
  const end_s = valueAt(time_s, second);
  charge_C += ((previousCurrent + i2) / 2) * (end_s - previousTime);
  const swing_V = (windowTop - windowBottom) * ratedVoltage_V + esr_Ohm * (i1 - i2);
  return charge_C > 0 && swing_V > 0 ? windowCapacitance(charge_C, swing_V, time_s, first, second) : null;
}
