import type { LearnedCircuit } from '../diagnosis/unit/normal/unit-normal.js';
import { departuresOf } from '../normal/departures/departures.js';
import { plateausOf, type WindowPlateaus } from '../normal/plateaus/window-plateaus.js';
import type { Machine } from '../normal/quantities/machine.js';
import { differencesFromNormal, shareOf, stateOf } from './circuit-energy.js';
import { compressorPower, meanChannels } from './cycle/compressor-power.js';
import type { Estimate } from './estimate.js';

export interface SavedInterval {
  running_h: number;
  energy_J: Estimate;
}

/**
 * Power saved, W: what the compressors would take if the share `before` were still given away, less what they take. Of
 * a power P in which a share `now` is given away, P (1 - now) is needed; with the share `before` it would be
 * P (1 - now) / (1 - before).
 *
 * @example savedPower(20_000, 0.1, 0) // 2222 W
 */
export const savedPower = (power_W: number, before: number, now: number): number =>
  power_W * ((1 - now) / (1 - before) - 1);

/** The same for some hours of running, as energy with its uncertainty. */
export function savedEnergy(power_W: Estimate, before: Estimate, now: Estimate, running_h: number): Estimate {
  const seconds = running_h * 3600;
  const parts = [
    savedPower(1, before.value, now.value) * power_W.uncertainty,
    (power_W.value * (1 - now.value) * before.uncertainty) / (1 - before.value) ** 2,
    (power_W.value * now.uncertainty) / (1 - before.value),
  ];
  return {
    value: savedPower(power_W.value, before.value, now.value) * seconds,
    uncertainty: Math.hypot(...parts) * seconds,
  };
}

/**
 * What was saved in some windows after a visit, measured and not claimed: their steady running is compared with the same
 * learned normal, that from before the visit, as the running with the fault was, so that a visit that changed nothing
 * saves nothing, and one that made it worse saves less than nothing. Null where there was no steady running, or it
 * cannot be compared with that normal.
 *
 * @param before share given away before the visit, against that normal; zero where nothing departed from it
 */
export function savedInWindows(
  machine: Machine,
  learned: LearnedCircuit,
  before: Estimate,
  windows: readonly WindowPlateaus[],
  ratedCapacity_W: number | null,
): SavedInterval | null {
  const plateaus = plateausOf(windows, learned.tolerance);
  if (plateaus.length === 0) return null;
  const at = meanChannels(plateaus);
  const { state } = stateOf(machine, at);
  if (state === null) return null;
  const moved = differencesFromNormal(machine, {
    normal: learned.normal,
    over: plateaus.map((plateau) => departuresOf(machine, learned.normal, plateau)),
  });
  if (moved.evaporatingLost_K === null && moved.condensingGained_K === null) return null;
  const now = shareOf(machine, state, moved);
  const power = compressorPower(machine, at, state, ratedCapacity_W);
  if (now === null || power === null) return null;
  const running_h = windows.reduce((sum, { ran_s }) => sum + ran_s, 0) / 3600;
  return { running_h, energy_J: savedEnergy(power, before, now, running_h) };
}
