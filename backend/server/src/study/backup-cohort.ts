import type { AgeingMonth, ModuleBaseline } from '@coldrounds/core';
import { quantile } from './quantiles.js';
import type { Against } from './queries.js';

/** A module with the months that it was seen in. */
export interface StudiedModule {
  cohort: string;
  baseline: ModuleBaseline;
  months: readonly AgeingMonth[];
}

const ageStep_years = 0.25;
export const daysPerYear = 365.25;

/** A value against the one that the module had when new, both at 298.15 K and its usual current. */
export const ratioTo = (whenNew: number | null, value: number | null): number | null =>
  value === null || whenNew === null ? null : value / whenNew;

const ageOf: Record<Against, (month: AgeingMonth) => number | null> = {
  age: ({ age_d }) => age_d,
  'weighted-age': ({ weightedAge_d }) => weightedAge_d,
};

/** What was measured in a month without a temperature could not be brought to 298.15 K. */
export const isComparable = ({ meanTemperature_K }: AgeingMonth): boolean => meanTemperature_K !== null;

/** Quantiles over the comparable months of a cohort's modules, by quarter years of age. */
export function backupCohort(cohort: string, members: readonly StudiedModule[], against: Against) {
  const steps = new Map<number, { capacitance: number[]; esr: number[] }>();
  const temperatures: number[] = [];
  for (const { baseline, months } of members)
    for (const month of months.filter(isComparable)) {
      const age_d = ageOf[against](month);
      if (age_d === null) continue;
      temperatures.push(month.meanTemperature_K!);
      const step = Math.floor(age_d / daysPerYear / ageStep_years);
      const bin = steps.get(step) ?? { capacitance: [], esr: [] };
      steps.set(step, bin);
      const capacitance = ratioTo(baseline.capacitance_F, month.capacitance_F);
      const esr = ratioTo(baseline.esr_Ohm, month.esr_Ohm);
      if (capacitance !== null) bin.capacitance.push(capacitance);
      if (esr !== null) bin.esr.push(esr);
    }
  const bins = [...steps].sort(([a], [b]) => a - b);
  const quantiles = (share: number) => bins.map(([, { capacitance }]) => quantile(capacitance, share));
  return {
    cohort,
    modules: members.length,
    againstRated: members.filter(({ baseline }) => baseline.from === 'rated').length,
    meanTemperature_K:
      temperatures.length === 0
        ? null
        : temperatures.reduce((sum, value) => sum + value, 0) / temperatures.length,
    ageYears: bins.map(([step]) => (step + 0.5) * ageStep_years),
    capacitanceRatioP10: quantiles(0.1),
    capacitanceRatioP50: quantiles(0.5),
    capacitanceRatioP90: quantiles(0.9),
    esrRatioP50: bins.map(([, { esr }]) => quantile(esr, 0.5)),
  };
}
