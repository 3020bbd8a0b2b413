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

/** Fractions of the peak between which a cubic describes the early curve: from MEMORY of the published curves' comparison, 2 to 4 % off. */
const earlyTop = 0.98;
const earlyBottom = 0.8;

/** Estimate from a discharge at one known current from the voltage's peak on. */
export function estimateAtConstantCurrent(discharge: Discharge, current_A: number): CapacitorEstimate {
  const { time_s, voltage_V, ratedVoltage_V } = discharge;
  const start = lastNearPeak(voltage_V, ratedVoltage_V);
  const end = lowestAfter(voltage_V, start);
  const n = end - start + 1;
  if (n < 3) return noEstimate(time_s.length < 3 ? 'too-few-samples' : 'no-discharge');
  const sampling_s = medianSpacing(time_s, start, end);
  if (voltage_V[start]! - voltage_V[end]! < leastSwing * ratedVoltage_V)
    return noEstimate('discharge-too-shallow', sampling_s);

  const fitted =
    capacitanceInWindow(discharge, current_A, start, end) ??
    capacitanceByLine(discharge, current_A, start, end);
  if (!fitted) return noEstimate('too-few-samples', sampling_s);
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
  const duration_s = valueAt(time_s, second) - valueAt(time_s, first);
  if (!(duration_s > 0)) return null;
  return windowCapacitance(current_A * duration_s, u1 - u2, time_s, first, second);
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
): Esr | null {
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
  const startFraction = startSpacing_s / (esr_Ohm * capacitance_F);
  if (startFraction > worstStartFraction) return null;
  // Start within one spacing (uniform), noise of the fit, and what a cubic leaves: 3 % on the published curves.
  const uncertainty_Ohm = Math.hypot(
    (esr_Ohm * startFraction) / Math.sqrt(12),
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
