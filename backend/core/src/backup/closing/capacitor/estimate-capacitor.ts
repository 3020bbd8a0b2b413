import { estimateAtConstantCurrent } from './estimate-at-constant-current.js';
import type { CapacitorEstimate, Discharge } from './discharge.js';
import { BackupInputError, requirePositive } from '../../errors.js';
import { estimateWithMeasuredCurrent } from './estimate-with-measured-current.js';

/**
 * Capacitance and series resistance from one discharge.
 *
 * Capacitance: where the curve passes 80 % and 40 % of the rated voltage, C = I (t2 - t1) / (U1 - U2) (IEC 62391-1,
 * method 1A, constant current); with a measured current the charge between the two moments takes the place of I t
 * and the ESR drop is put back. Where the curve is shorter, least squares of V = V0 - R I - Q/C.
 *
 * ESR, constant current: a cubic through 98 to 80 % of the peak, extrapolated back to the peak; the step between is I R. A
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
