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
  const { time_s, voltage_V, ratedVoltage_V } = discharge;
  const drive = longestDrive(time_s, current_A);
  if (!drive) return noEstimate(time_s.length < 3 ? 'too-few-samples' : 'no-discharge');
  const { start, end } = drive;
  if (end - start < 2) return noEstimate('too-few-samples');
  const sampling_s = medianSpacing(time_s, start, end);

  // With no rest before the drive, the step at its end serves, if it was sampled before the charge redistributes.
  const from = Math.max(0, start - restSamples);
  let to = end;
  if (from === start) {
    const soon_s = Math.max(0.1, 3 * sampling_s);
    while (to + 1 < time_s.length && time_s[to + 1]! - time_s[end]! <= soon_s) to++;
  }
  const n = to - from + 1;
  // Where the drive began between two samples is not known: half way. But a record that the closing itself set off has
  // its first sample, and it alone, at rest: the drive began right after it.
  const setOff = start === 1;
  const ones = new Float64Array(n).fill(1);
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
  const driven_C = charge[Math.min(end - from, n - 1)]!;
  const driven_s = time_s[end]! - time_s[start]!;
  const meanCurrent_A = driven_s > 0 ? (driven_C - charge[start - from]!) / driven_s : null;

  const joint = fitLinear([ones, current, charge], voltage);
  const stepSeen = from < start || to > end;
  let esr: Esr | null = null;
  let slope = joint?.coefficients[2] ?? NaN;
  let slopeError = joint ? standardError(joint, 2) : NaN;
  if (joint && stepSeen && joint.degreesOfFreedom > 0) {
    const esr_Ohm = -joint.coefficients[1]!;
    const stepSpacing_s =
      from < start ? time_s[start]! - time_s[start - 1]! : time_s[end + 1]! - time_s[end]!;
    // The charge of the step's own interval is known to half of it, to a quarter where the closing set the record off.
    const startFraction = (-slope * stepSpacing_s) / ((setOff ? 4 : 2) * esr_Ohm);
    if (esr_Ohm > 0 && slope < 0 && startFraction <= worstStartFraction)
      esr = {
        esr_Ohm,
        uncertainty_Ohm: Math.hypot(standardError(joint, 1), (esr_Ohm * startFraction) / Math.sqrt(3)),
      };
  }
  // An error of the start goes into the step alone, so the joint line gives the capacitance even where it gives no ESR.
  const jointHolds = joint !== null && stepSeen && joint.degreesOfFreedom > 0 && joint.coefficients[1]! < 0;
  if (!esr && !jointHolds) {
    // Without the step, current and charge are told apart by nothing: the line of voltage over charge while driving.
    const s = start - from;
    const e = end - from + 1;
    const alone = fitLinear([ones.subarray(s, e), charge.subarray(s, e)], voltage.subarray(s, e));
    if (!alone || alone.degreesOfFreedom < 1) return noEstimate('too-few-samples', sampling_s);
    slope = alone.coefficients[1]!;
    slopeError = Math.hypot(standardError(alone, 1), esrLeftOut * Math.abs(slope));
  }
  const swing_V = -slope * (driven_C - charge[start - from]!);
  if (!(swing_V >= leastSwing * ratedVoltage_V))
    return { ...noEstimate('discharge-too-shallow', sampling_s), meanCurrent_A };

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
