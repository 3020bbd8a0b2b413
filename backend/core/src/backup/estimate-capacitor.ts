import { BackupInputError, requirePositive } from './errors.js';
import { fitLinear, standardError } from './linear-fit.js';

export interface Discharge {
  time_s: ArrayLike<number>;
  voltage_V: ArrayLike<number>;
  /** One number: constant current from the voltage peak on. Columns: measured, positive while discharging. */
  current_A: ArrayLike<number> | number;
  ratedVoltage_V: number;
}

export interface CapacitorEstimate {
  /** `null` where the curve says too little; `reason` then says why. */
  capacitance_F: number | null;
  /** One standard uncertainty, of the fit and the sampling; the sensors' own calibration is not in it. */
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

/** Share of U_R between which IEC 62391-1 method 1A takes the capacitance. */
const windowTop = 0.8;
const windowBottom = 0.4;
/** Cubic for the early curve, share of the peak: from MEMORY of the published curves' comparison, 2 to 4 % off. */
const earlyTop = 0.98;
const earlyBottom = 0.8;
/** An ESR whose start is known no better than this share of itself is not given. */
const worstStartShare = 0.1;
/** What leaving the ESR out can do to the capacitance of a short drive at constant power, relative. */
const esrLeftOut = 0.01;
/** Less swing than this share of the rated voltage gives no capacitance. */
const leastSwing = 0.01;

/**
 * Capacitance and series resistance from one discharge.
 *
 * Capacitance: where the curve passes 80 % and 40 % of the rated voltage, C = I (t2 - t1) / (U1 - U2) (IEC 62391-1,
 * method 1A, constant current); with a measured current the charge between the two moments takes the place of I t
 * and the ESR drop is put back. Where the curve is shorter, least squares of V = V0 - R I - Q/C.
 *
 * ESR, constant current: a cubic through 98 to 80 % of the peak drawn back to the peak; the step between is I R. A
 * straight line through the later curve would overstate it by up to 109 %. ESR, measured current: the coefficient of
 * I in the same least squares, which needs the step from rest to drive to be in the samples. Either way the moment
 * of the step is known only to one sample spacing, in which the voltage falls by I dt / C; where that is over 10 % of
 * I R, ESR is `null`.
 *
 * Units: s, V, A, F, Ohm. Throws {@link BackupInputError} naming the argument; too little data is a `null` with a reason.
 *
 * @example estimateCapacitor({ time_s, voltage_V, current_A: 3, ratedVoltage_V: 3 }).capacitance_F // 25.83
 */
export function estimateCapacitor(discharge: Discharge): CapacitorEstimate {
  validate(discharge);
  return typeof discharge.current_A === 'number'
    ? estimateAtConstantCurrent(discharge, discharge.current_A)
    : estimateWithMeasuredCurrent(discharge, discharge.current_A);
}

function validate({ time_s, voltage_V, current_A, ratedVoltage_V }: Discharge): void {
  const n = time_s.length;
  requirePositive('ratedVoltage_V', ratedVoltage_V);
  if (voltage_V.length !== n) throw new BackupInputError('voltage_V', 'must be as long as time_s');
  if (typeof current_A === 'number') requirePositive('current_A', current_A);
  else if (current_A.length !== n) throw new BackupInputError('current_A', 'must be as long as time_s');
  for (let i = 0; i < n; i++) {
    if (!Number.isFinite(time_s[i])) throw new BackupInputError('time_s', 'must be finite');
    if (i > 0 && !(time_s[i]! > time_s[i - 1]!))
      throw new BackupInputError('time_s', 'must increase strictly');
    if (!Number.isFinite(voltage_V[i])) throw new BackupInputError('voltage_V', 'must be finite');
    if (typeof current_A !== 'number' && !Number.isFinite(current_A[i]))
      throw new BackupInputError('current_A', 'must be finite');
  }
}

const nothing = (
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

function estimateAtConstantCurrent(discharge: Discharge, current_A: number): CapacitorEstimate {
  const { time_s, voltage_V, ratedVoltage_V } = discharge;
  const start = lastNearPeak(voltage_V, ratedVoltage_V);
  const end = lowestAfter(voltage_V, start);
  const n = end - start + 1;
  if (n < 3) return nothing(time_s.length < 3 ? 'too-few-samples' : 'no-discharge');
  const sampling_s = medianSpacing(time_s, start, end);
  if (voltage_V[start]! - voltage_V[end]! < leastSwing * ratedVoltage_V)
    return nothing('discharge-too-shallow', sampling_s);

  const fitted =
    capacitanceInWindow(discharge, current_A, start, end) ??
    capacitanceByLine(discharge, current_A, start, end);
  if (!fitted) return nothing('too-few-samples', sampling_s);
  const esr = esrFromEarlyCurve(discharge, current_A, start, end, fitted.capacitance_F);
  return {
    ...fitted,
    esr_Ohm: esr?.esr_Ohm ?? null,
    esrUncertainty_Ohm: esr?.uncertainty_Ohm ?? null,
    sampling_s,
    meanCurrent_A: current_A,
    reason: null,
  };
}

type Capacitance = Pick<CapacitorEstimate, 'method'> & {
  capacitance_F: number;
  capacitanceUncertainty_F: number;
};

function capacitanceInWindow(
  { time_s, voltage_V, ratedVoltage_V }: Discharge,
  current_A: number,
  start: number,
  end: number,
): Capacitance | null {
  const u1 = windowTop * ratedVoltage_V;
  const u2 = windowBottom * ratedVoltage_V;
  const first = crossing(voltage_V, u1, start, end);
  const second = crossing(voltage_V, u2, start, end);
  if (!first || !second) return null;
  const duration_s = at(time_s, second) - at(time_s, first);
  if (!(duration_s > 0)) return null;
  const capacitance_F = (current_A * duration_s) / (u1 - u2);
  // Each crossing is read between two samples; the curve is straight there to about a tenth of the spacing.
  const spacing_s = Math.max(spacingAt(time_s, first), spacingAt(time_s, second));
  return {
    capacitance_F,
    capacitanceUncertainty_F: (capacitance_F * 0.1 * Math.SQRT2 * spacing_s) / duration_s,
    method: 'iec-window',
  };
}

/** The first tenth is left out: charge moves into the pores there and the curve is not yet straight. */
function capacitanceByLine(
  { time_s, voltage_V }: Discharge,
  current_A: number,
  start: number,
  end: number,
): Capacitance | null {
  const from_s = time_s[start]! + 0.1 * (time_s[end]! - time_s[start]!);
  const t: number[] = [];
  const v: number[] = [];
  for (let i = start + 1; i <= end; i++) {
    if (time_s[i]! < from_s) continue;
    t.push(time_s[i]! - time_s[start]!);
    v.push(voltage_V[i]!);
  }
  if (t.length < 3) return null;
  const fit = fitLinear([new Float64Array(t.length).fill(1), Float64Array.from(t)], Float64Array.from(v));
  if (!fit || !(fit.coefficients[1]! < 0)) return null;
  const capacitance_F = -current_A / fit.coefficients[1]!;
  return {
    capacitance_F,
    capacitanceUncertainty_F: capacitance_F * Math.abs(standardError(fit, 1) / fit.coefficients[1]!),
    method: 'least-squares',
  };
}

function esrFromEarlyCurve(
  { time_s, voltage_V }: Discharge,
  current_A: number,
  start: number,
  end: number,
  capacitance_F: number,
): { esr_Ohm: number; uncertainty_Ohm: number } | null {
  const peak_V = voltage_V[start]!;
  const t: number[] = [];
  const v: number[] = [];
  for (let i = start + 1; i <= end && voltage_V[i]! >= earlyBottom * peak_V; i++) {
    if (voltage_V[i]! > earlyTop * peak_V) continue;
    t.push(time_s[i]! - time_s[start]!);
    v.push(voltage_V[i]!);
  }
  if (t.length < 8) return null;
  const power = (exponent: number) => Float64Array.from(t, (x) => x ** exponent);
  const fit = fitLinear([power(0), power(1), power(2), power(3)], Float64Array.from(v));
  if (!fit) return null;
  const esr_Ohm = (peak_V - fit.coefficients[0]!) / current_A;
  if (!(esr_Ohm > 0)) return null;
  const startSpacing_s = time_s[start + 1]! - time_s[start]!;
  const startShare = startSpacing_s / (esr_Ohm * capacitance_F);
  if (startShare > worstStartShare) return null;
  // Start within one spacing (uniform), noise of the fit, and what a cubic leaves: 3 % on the published curves.
  const uncertainty_Ohm = Math.hypot(
    (esr_Ohm * startShare) / Math.sqrt(12),
    standardError(fit, 0) / current_A,
    0.03 * esr_Ohm,
  );
  return { esr_Ohm, uncertainty_Ohm };
}

/** The last sample still at the peak before the voltage falls for good: a rest before the discharge is passed over. */
function lastNearPeak(voltage_V: ArrayLike<number>, ratedVoltage_V: number): number {
  let peak = -Infinity;
  for (let i = 0; i < voltage_V.length; i++) if (voltage_V[i]! > peak) peak = voltage_V[i]!;
  let last = 0;
  for (let i = 0; i < voltage_V.length; i++) {
    if (voltage_V[i]! >= peak - 0.0005 * ratedVoltage_V) last = i;
    else if (voltage_V[i]! < earlyTop * peak) break;
  }
  return last;
}

/** Recovery after the load is off, and recharging, do not belong to the discharge. */
function lowestAfter(voltage_V: ArrayLike<number>, start: number): number {
  let lowest = start;
  for (let i = start; i < voltage_V.length; i++) if (voltage_V[i]! < voltage_V[lowest]!) lowest = i;
  return lowest;
}

interface Place {
  index: number;
  fraction: number;
}

/** First fall through `level`; `null` where the curve begins under it or never reaches it. */
function crossing(voltage_V: ArrayLike<number>, level: number, start: number, end: number): Place | null {
  if (voltage_V[start]! < level) return null;
  for (let i = start + 1; i <= end; i++) {
    if (voltage_V[i]! > level) continue;
    const fall = voltage_V[i - 1]! - voltage_V[i]!;
    return { index: i - 1, fraction: fall > 0 ? (voltage_V[i - 1]! - level) / fall : 1 };
  }
  return null;
}

const at = (column: ArrayLike<number>, { index, fraction }: Place): number =>
  column[index]! + fraction * (column[index + 1]! - column[index]!);

const spacingAt = (time_s: ArrayLike<number>, { index }: Place): number =>
  time_s[index + 1]! - time_s[index]!;

function medianSpacing(time_s: ArrayLike<number>, start: number, end: number): number {
  const spacings = new Float64Array(end - start);
  for (let i = start; i < end; i++) spacings[i - start] = time_s[i + 1]! - time_s[i]!;
  spacings.sort();
  return spacings[spacings.length >> 1]!;
}

/** Current over this share of its highest counts as driving. */
const drivingShare = 0.2;
/** So many samples of rest before the drive are enough to fix the step. */
const restSamples = 20;

function estimateWithMeasuredCurrent(discharge: Discharge, current_A: ArrayLike<number>): CapacitorEstimate {
  const { time_s, voltage_V, ratedVoltage_V } = discharge;
  const drive = longestDrive(time_s, current_A);
  if (!drive) return nothing(time_s.length < 3 ? 'too-few-samples' : 'no-discharge');
  const { start, end } = drive;
  if (end - start < 2) return nothing('too-few-samples');
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
  let esr: { esr_Ohm: number; uncertainty_Ohm: number } | null = null;
  let slope = joint?.coefficients[2] ?? NaN;
  let slopeError = joint ? standardError(joint, 2) : NaN;
  if (joint && stepSeen && joint.degreesOfFreedom > 0) {
    const esr_Ohm = -joint.coefficients[1]!;
    const stepSpacing_s =
      from < start ? time_s[start]! - time_s[start - 1]! : time_s[end + 1]! - time_s[end]!;
    // The charge of the step's own interval is known to half of it, to a quarter where the closing set the record off.
    const startShare = (-slope * stepSpacing_s) / ((setOff ? 4 : 2) * esr_Ohm);
    if (esr_Ohm > 0 && slope < 0 && startShare <= worstStartShare)
      esr = {
        esr_Ohm,
        uncertainty_Ohm: Math.hypot(standardError(joint, 1), (esr_Ohm * startShare) / Math.sqrt(3)),
      };
  }
  // An error of the start goes into the step alone, so the joint line gives the capacitance even where it gives no ESR.
  const jointHolds = joint !== null && stepSeen && joint.degreesOfFreedom > 0 && joint.coefficients[1]! < 0;
  if (!esr && !jointHolds) {
    // Without the step, current and charge are told apart by nothing: the line of voltage over charge while driving.
    const s = start - from;
    const e = end - from + 1;
    const alone = fitLinear([ones.subarray(s, e), charge.subarray(s, e)], voltage.subarray(s, e));
    if (!alone || alone.degreesOfFreedom < 1) return nothing('too-few-samples', sampling_s);
    slope = alone.coefficients[1]!;
    slopeError = Math.hypot(standardError(alone, 1), esrLeftOut * Math.abs(slope));
  }
  const swing_V = -slope * (driven_C - charge[start - from]!);
  if (!(swing_V >= leastSwing * ratedVoltage_V))
    return { ...nothing('discharge-too-shallow', sampling_s), meanCurrent_A };

  const inWindow = measuredWindow(discharge, current_A, start, end, esr?.esr_Ohm ?? 0);
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
function measuredWindow(
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
  const i1 = at(current_A, first);
  const i2 = at(current_A, second);
  let charge_C = 0;
  let previousTime = at(time_s, first);
  let previousCurrent = i1;
  for (let i = first.index + 1; i <= second.index; i++) {
    charge_C += ((previousCurrent + current_A[i]!) / 2) * (time_s[i]! - previousTime);
    previousTime = time_s[i]!;
    previousCurrent = current_A[i]!;
  }
  const end_s = at(time_s, second);
  charge_C += ((previousCurrent + i2) / 2) * (end_s - previousTime);
  const swing_V = (windowTop - windowBottom) * ratedVoltage_V + esr_Ohm * (i1 - i2);
  const duration_s = end_s - at(time_s, first);
  if (!(charge_C > 0) || !(swing_V > 0)) return null;
  const capacitance_F = charge_C / swing_V;
  const spacing_s = Math.max(spacingAt(time_s, first), spacingAt(time_s, second));
  return {
    capacitance_F,
    capacitanceUncertainty_F: (capacitance_F * 0.1 * Math.SQRT2 * spacing_s) / duration_s,
    method: 'iec-window',
  };
}

/** The longest stretch with the current over a share of its highest, as first and last index. */
export function longestDrive(
  time_s: ArrayLike<number>,
  current_A: ArrayLike<number>,
): { start: number; end: number } | null {
  let highest = 0;
  for (let i = 0; i < current_A.length; i++) if (current_A[i]! > highest) highest = current_A[i]!;
  if (!(highest > 0)) return null;
  let best: { start: number; end: number } | null = null;
  let start = -1;
  for (let i = 0; i <= current_A.length; i++) {
    const driving = i < current_A.length && current_A[i]! >= drivingShare * highest;
    if (driving && start < 0) start = i;
    if (driving || start < 0) continue;
    const length_s = time_s[i - 1]! - time_s[start]!;
    if (!best || length_s > time_s[best.end]! - time_s[best.start]!) best = { start, end: i - 1 };
    start = -1;
  }
  return best;
}
