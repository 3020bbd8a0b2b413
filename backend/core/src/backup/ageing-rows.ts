import type { ModuleEntry } from '../telemetry/index.js';
import type { ClosingJudgement } from './types.js';
import { normaliseTests } from './normalised-tests.js';
import { median, spreadAround } from './robust.js';
import { defaultBackupSettings } from './settings.js';

/** One module in one month, as cohort plots and exports take it. */
export interface AgeingRow {
  /** Whatever the caller knows the module by. */
  key: string;
  month_s: number;
  /** Since installation, days. */
  age_d: number;
  /** Days at 298.15 K since the first test seen, life doubling per 10 K. */
  weightedAge_d: number;
  meanTemperature_K: number | null;
  /** At 298.15 K and the module's usual current, as measured: medians of the month. */
  capacitance_F: number;
  /** One standard uncertainty by the scatter of the month's tests; `null` for fewer than three. */
  capacitanceUncertainty_F: number | null;
  esr_Ohm: number | null;
  esrUncertainty_Ohm: number | null;
  /** Of the rated value. */
  capacitanceShare: number;
  esrShare: number | null;
  tests: number;
}

const day_s = 86400;

/**
 * Capacitance and ESR against age and temperature: medians of each calendar month (UTC) with a comparable test, every
 * test brought to 298.15 K first. Pure; modules without one give no row.
 */
export function ageingRows(
  modules: readonly { key: string; module: ModuleEntry; closings: readonly ClosingJudgement[] }[],
  lifeDoubling_K = defaultBackupSettings.lifeDoubling_K,
): AgeingRow[] {
  return modules.flatMap(({ key, module, closings }) => {
    const all = normaliseTests(closings, lifeDoubling_K);
    if (!all) return [];
    const installed_s = Date.parse(`${module.installedOn}T00:00:00Z`) / 1000;
    const months = new Map<number, number[]>();
    all.tests.forEach((test, i) => {
      const date = new Date(test.startedAt_s * 1000);
      const month_s = Date.UTC(date.getUTCFullYear(), date.getUTCMonth(), 1) / 1000;
      const rows = months.get(month_s);
      if (rows) rows.push(i);
      else months.set(month_s, [i]);
    });
    return [...months].map(([month_s, rows]): AgeingRow => {
      const warmer = (i: number) => all.temperature_K[i]! - 298.15;
      const capacitance = rows.map(
        (i) => all.tests[i]!.capacitance_F! * Math.exp(-all.law.capacitancePerK * warmer(i)),
      );
      const capacitance_F = median(capacitance);
      const esr = rows.flatMap((i) => {
        const value = all.tests[i]!.esr_Ohm;
        return value === null ? [] : [value * Math.exp(-all.law.esrPerK * warmer(i))];
      });
      const temperatures = rows.flatMap((i) => all.tests[i]!.temperature_K ?? []);
      const middle = rows[rows.length >> 1]!;
      const esr_Ohm = esr.length > 0 ? median(esr) : null;
      return {
        key,
        month_s,
        age_d: (all.time_s[middle]! - installed_s) / day_s,
        weightedAge_d: all.weightedAge_s[middle]! / day_s,
        meanTemperature_K:
          temperatures.length > 0 ? temperatures.reduce((sum, T) => sum + T, 0) / temperatures.length : null,
        capacitance_F,
        capacitanceUncertainty_F: medianUncertainty(capacitance, capacitance_F),
        esr_Ohm,
        esrUncertainty_Ohm: esr_Ohm === null ? null : medianUncertainty(esr, esr_Ohm),
        capacitanceShare: capacitance_F / module.ratedCapacitance_F,
        esrShare: esr_Ohm === null ? null : esr_Ohm / module.ratedEsr_Ohm,
        tests: rows.length,
      };
    });
  });
}

/** Of a median of normally scattered values: 1.25 times that of a mean. */
const medianUncertainty = (values: number[], middle: number): number | null =>
  values.length < 3 ? null : (1.25 * spreadAround(values, middle)) / Math.sqrt(values.length);
