import { requireNotNegative, requirePositive } from '../errors.js';

/** A charged capacitor as a source: its own voltage with nothing drawn, and the voltage at which the load stops. */
export interface BackupCell {
  capacitance_F: number;
  esr_Ohm: number;
  voltage_V: number;
  minimumVoltage_V: number;
}

export interface BackupRuntime {
  /** How long the load runs; 0 where it cannot start. */
  time_s: number;
  /** Energy that reaches the load in that time. */
  energy_J: number;
  /**
   * False where the load cannot even start: the source cannot deliver the power at any voltage
   * (`voltage_V`^2 < 4 P R), or only under the minimum voltage. Time and energy are then exactly 0.
   */
  feasible: boolean;
  /** What ends the run: the load's minimum voltage, or the most that the source can deliver through its ESR. */
  endedBy: 'minimum-voltage' | 'source-power';
}

/**
 * Time and energy that a capacitor delivers at constant power, with its series resistance.
 *
 * The terminal voltage V obeys Vc = V + P R / V, so a load P can start only while Vc^2 >= 4 P R, at
 * V0 = [Vc + sqrt(Vc^2 - 4 P R)] / 2. It ends at Vf = max(Vmin, sqrt(P R)): at sqrt(P R) the source is at its most.
 * In between, t = C/(2P) (V0^2 - Vf^2) - R C ln(V0/Vf). Derived from C dVc/dt = -P/V; valid for constant C and R.
 *
 * Units: F, Ohm, V, W. Throws {@link BackupInputError} for a negative or non-finite argument or a load of 0.
 *
 * @example backupRuntime({ capacitance_F: 1, esr_Ohm: 0.5, voltage_V: 20, minimumVoltage_V: 9 }, 8) // 19.04077 s, 152.326 J
 */
export function backupRuntime(cell: BackupCell, load_W: number): BackupRuntime {
  const { capacitance_F: c, esr_Ohm: r, voltage_V: vc, minimumVoltage_V: vMin } = cell;
  requirePositive('cell.capacitance_F', c);
  requireNotNegative('cell.esr_Ohm', r);
  requireNotNegative('cell.voltage_V', vc);
  requireNotNegative('cell.minimumVoltage_V', vMin);
  requirePositive('load_W', load_W);

  const weakest_V = Math.sqrt(load_W * r);
  const endedBy = vMin >= weakest_V ? 'minimum-voltage' : 'source-power';
  const discriminant = vc * vc - 4 * load_W * r;
  if (discriminant < 0) return { time_s: 0, energy_J: 0, feasible: false, endedBy: 'source-power' };
  const v0 = (vc + Math.sqrt(discriminant)) / 2;
  const vf = Math.max(vMin, weakest_V);
  if (v0 <= vf) return { time_s: 0, energy_J: 0, feasible: false, endedBy };

  const resistive_s = r === 0 ? 0 : r * c * Math.log(v0 / vf);
  const time_s = (c / (2 * load_W)) * (v0 * v0 - vf * vf) - resistive_s;
  return { time_s, energy_J: load_W * time_s, feasible: true, endedBy };
}
