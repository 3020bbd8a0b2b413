import type { CircuitEntry, ModuleEntry } from '../../telemetry/index.js';
import type { ClosingJudgement } from './closing-judgement.js';
import { median } from '../../numerics/index.js';

/**
 * Power of one motor: as measured where closings show more than the registry says, else the registry's value. The
 * higher of the two is the safe one.
 */
export function motorPower_W(
  module: ModuleEntry,
  circuits: readonly CircuitEntry[],
  closings: readonly ClosingJudgement[],
): number {
  const motors = circuits.reduce((sum, circuit) => sum + circuit.valve.motors, 0);
  const measured = closings
    .slice(-30)
    .flatMap((closing) => (closing.drivePower_W === null ? [] : [closing.drivePower_W]));
  if (measured.length < 5 || motors === 0) return module.drivePower_W;
  const perMotor = median(measured) / motors;
  return perMotor > 1.05 * module.drivePower_W ? perMotor : module.drivePower_W;
}
