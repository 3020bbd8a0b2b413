import type { ModuleEntry } from '../../telemetry/index.js';
import type { ClosingDemand } from '../closing/index.js';
import type { Step } from '../ageing/index.js';
import type { OpenCircuitDecay, RestingFigures } from './module-readings.js';
import { backupRuntime } from '../reserve/index.js';
import type { BackupSettings } from '../settings.js';

export interface LeakageAssessment {
  state: 'normal' | 'leaking' | 'unknown';
  /** Charging current that the module keeps drawing when full, A (positive = into the module). */
  floatCurrent_A: number | null;
  /** Leakage worked out from the fall of voltage with nothing drawn from it, A. */
  decayCurrent_A: number | null;
  limit_A: number;
  /** Time from full until the reserve falls under 1 with the mains gone and the valve not yet driven, s. */
  timeToUnable_s: number | null;
}

export interface WeakCellAssessment {
  state: 'none-seen' | 'suspected' | 'unknown';
  sign: 'shorted-cell' | 'lost-cell-capacitance' | 'decay-stops-after-one-cell' | null;
  /** Of the string, by the sign. */
  cellsAffected: number | null;
}

export interface ChargerAssessment {
  state: 'reaches' | 'under-voltage' | 'unknown';
  voltage_V: number | null;
  target_V: number;
}

/** Once the mains have been present this long, the charger has had time to finish. */
const chargingTime_s = 6 * 3600;

/**
 * Whether the charger brings the module to its rated voltage: the median over the last day on mains against it.
 * Unknown until the mains have been seen present for six hours.
 */
export function assessCharger(
  module: ModuleEntry,
  figures: RestingFigures,
  now_s: number,
  settings: BackupSettings,
): ChargerAssessment {
  const target_V = module.ratedVoltage_V;
  const voltage_V = figures.chargedVoltage_V;
  const longEnough = figures.mainsSince_s !== null && now_s - figures.mainsSince_s >= chargingTime_s;
  if (voltage_V === null || !longEnough) return { state: 'unknown', voltage_V, target_V };
  const low = voltage_V < (1 - settings.chargerTolerance) * target_V;
  return { state: low ? 'under-voltage' : 'reaches', voltage_V, target_V };
}

/**
 * Leakage: the current that a full module keeps drawing, and C dV/dt of an open-circuit decay less what was drawn
 * meanwhile. Either over `leakageLimit_A_F` times the capacitance (more when warm) counts.
 */
export function assessLeakage(input: {
  module: ModuleEntry;
  figures: RestingFigures;
  decay: OpenCircuitDecay | null;
  capacitance_F: number;
  esr_Ohm: number;
  demand: ClosingDemand;
  settings: BackupSettings;
}): LeakageAssessment {
  const { module, figures, decay, capacitance_F, esr_Ohm, demand, settings } = input;
  // Leakage about doubles per 10 K: COMMON PRACTICE, no source. No more than fourfold is allowed for.
  const warm = 2 ** (((figures.temperatureNow_K ?? 298.15) - 298.15) / 10);
  const limit_A = settings.leakageLimit_A_F * capacitance_F * Math.min(4, Math.max(1, warm));
  const floatCurrent_A = figures.floatCurrent_A;
  const decayCurrent_A = decay ? capacitance_F * decay.rate_V_s - Math.max(0, decay.drawn_A) : null;
  const worst = Math.max(floatCurrent_A ?? -Infinity, decayCurrent_A ?? -Infinity);
  const state = worst === -Infinity ? 'unknown' : worst > limit_A ? 'leaking' : 'normal';
  const charged_V = figures.chargedVoltage_V ?? module.ratedVoltage_V;
  const needed_V = voltageForEnergy(module, capacitance_F, esr_Ohm, demand, charged_V);
  return {
    state,
    floatCurrent_A,
    decayCurrent_A,
    limit_A,
    timeToUnable_s:
      worst > 0 && Number.isFinite(worst) && needed_V !== null
        ? (capacitance_F * Math.max(0, charged_V - needed_V)) / worst
        : null,
  };
}

/** Voltage at which the stored energy just covers the closing; `null` where even a full module does not. */
function voltageForEnergy(
  module: ModuleEntry,
  capacitance_F: number,
  esr_Ohm: number,
  demand: ClosingDemand,
  charged_V: number,
): number | null {
  const usable = (voltage_V: number) =>
    backupRuntime(
      { capacitance_F, esr_Ohm, voltage_V, minimumVoltage_V: module.minimumVoltage_V },
      demand.peakPower_W,
    ).energy_J;
  if (usable(charged_V) < demand.energy_J) return null;
  let low = module.minimumVoltage_V;
  let high = charged_V;
  for (let i = 0; i < 40; i++) {
    const middle = (low + high) / 2;
    if (usable(middle) < demand.energy_J) low = middle;
    else high = middle;
  }
  return high;
}

/**
 * Signs of one bad cell in the string, seen from outside it:
 *
 * - shorted: capacitance jumps up to n/(n-1) of what it was, and ESR does not rise;
 * - lost capacitance: capacitance jumps down while ESR hardly rises; one cell of n that has lost a fraction f gives
 *   C/C0 = n / (n - 1 + 1/(1-f));
 * - leaking: an open-circuit decay that slows down once about one cell's voltage is gone.
 */
export function assessWeakCell(input: {
  cellsInSeries: number;
  capacitanceStep: Step | null;
  /** Of ln ESR at the same test, `null` where ESR is not known around it. */
  esrStep: number | null;
  scatter: number;
  decay: OpenCircuitDecay | null;
  tests: number;
}): WeakCellAssessment {
  const { cellsInSeries: n, capacitanceStep: step, esrStep, scatter, decay } = input;
  if (n < 2) return { state: 'none-seen', sign: null, cellsAffected: null };
  if (decay && decay.early_V_s > 4 * Math.max(0, decay.late_V_s)) {
    const cells = decay.fall_V / (decay.from_V / n);
    if (cells > 0.5 && cells < 1.3)
      return { state: 'suspected', sign: 'decay-stops-after-one-cell', cellsAffected: 1 };
  }
  if (step && step.size > 0) {
    const tolerance = Math.max(0.03, (3 * scatter) / Math.sqrt(step.tests));
    for (const cells of [1, 2]) {
      if (n - cells < 1) break;
      if (Math.abs(step.size - Math.log(n / (n - cells))) <= tolerance && (esrStep ?? 0) < 0.1)
        return { state: 'suspected', sign: 'shorted-cell', cellsAffected: cells };
    }
  }
  if (step && step.size < 0 && esrStep !== null && esrStep < 0.25) {
    const left = 1 / (n / Math.exp(step.size) - n + 1);
    if (left > 0.02 && left < 0.9)
      return { state: 'suspected', sign: 'lost-cell-capacitance', cellsAffected: 1 };
  }
  if (input.tests === 0 && !decay) return { state: 'unknown', sign: null, cellsAffected: null };
  return { state: 'none-seen', sign: null, cellsAffected: null };
}
