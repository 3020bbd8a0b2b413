import { installedAt_s, type ModuleEntry } from '../../telemetry/index.js';
import { capacitanceAtReference_F, esrAtReference_Ohm, type NormalisedTests } from './normalised-tests.js';
import { median } from '../../numerics/index.js';
import type { BackupSettings } from '../settings.js';

/** The module at its own new value, at 298.15 K and its usual current. */
export interface ModuleBaseline {
  capacitance_F: number | null;
  esr_Ohm: number | null;
  /** `own`: median of the first weeks; `rated`: the registry's value for want of early tests. */
  from: 'own' | 'rated';
  tests: number;
}

const day_s = 86400;

/** The registry's value, for want of early tests. */
export const ratedBaseline = (module: ModuleEntry): ModuleBaseline => ({
  capacitance_F: module.ratedCapacitance_F,
  esr_Ohm: module.ratedEsr_Ohm,
  from: 'rated',
  tests: 0,
});

/**
 * The module's own new value: median of the first weeks after installation at 298.15 K. Where telemetry begins later
 * than that, the rated value is used, because the first tests seen are not those of a new module.
 */
export function baselineOf(
  tests: NormalisedTests,
  module: ModuleEntry,
  settings: Pick<BackupSettings, 'newPeriod_d'>,
): ModuleBaseline {
  const installed_s = installedAt_s(module);
  const first_s = tests.time_s[0]!;
  // A first test within half a year of installation still shows the module as good as new.
  const startedNew = Number.isNaN(installed_s) || first_s - installed_s <= 180 * day_s;
  const capacitance: number[] = [];
  const esr: number[] = [];
  for (let i = 0; i < tests.time_s.length; i++) {
    if (tests.time_s[i]! - first_s > settings.newPeriod_d * day_s) break;
    capacitance.push(capacitanceAtReference_F(tests, i));
    const esr_Ohm = esrAtReference_Ohm(tests, i);
    if (esr_Ohm !== null) esr.push(esr_Ohm);
  }
  if (!startedNew || capacitance.length < 3) return ratedBaseline(module);
  return {
    capacitance_F: median(capacitance),
    esr_Ohm: esr.length >= 3 ? median(esr) : null,
    from: 'own',
    tests: capacitance.length,
  };
}
