import { BackupInputError } from '../errors.js';
import type { CircuitEntry, ModuleEntry } from '../../telemetry/index.js';

export interface ClosingDemand {
  energy_J: number;
  /** Power with every motor of the module stepping at once, as at the start. */
  peakPower_W: number;
  time_s: number;
}

/** The circuits whose valves the module shuts. */
export const circuitsOf = (module: ModuleEntry, circuits: readonly CircuitEntry[]): CircuitEntry[] =>
  circuits.filter((circuit) => module.circuits.includes(circuit.number));

/**
 * Energy of one closing from an opening: each motor steps (opening + overdrive) of the full stroke at the valve's
 * rate and takes `drivePower_W` while it does. All motors of the module start together; two valves in parallel on
 * one controller are two motors over the same steps.
 *
 *   E = sum over circuits of motors * P * (opening + overdrive)/100 * fullStroke / rate
 *
 * `drivePower_W` replaces the module's own where a measured value is to be used. Units: %, steps, steps/s, W, J.
 *
 * @example closingDemand(module, circuits, 100).energy_J // 3800 steps at 630/s, 10 % overdrive, 9 W: 59.7 J
 */
export function closingDemand(
  module: ModuleEntry,
  circuits: readonly CircuitEntry[],
  opening_pct: number,
  drivePower_W = module.drivePower_W,
): ClosingDemand {
  if (!(opening_pct >= 0 && opening_pct <= 100))
    throw new BackupInputError('opening_pct', 'must lie between 0 and 100');
  const own = circuitsOf(module, circuits);
  if (own.length === 0)
    throw new BackupInputError('circuits', 'holds none of the circuits that the module shuts');
  let energy_J = 0;
  let peakPower_W = 0;
  let time_s = 0;
  for (const { valve } of own) {
    const steps = ((opening_pct + module.overdrive_pct) / 100) * valve.fullStroke_steps;
    const drive_s = steps / valve.rate_steps_s;
    energy_J += valve.motors * drivePower_W * drive_s;
    peakPower_W += valve.motors * drivePower_W;
    time_s = Math.max(time_s, drive_s);
  }
  return { energy_J, peakPower_W, time_s };
}
