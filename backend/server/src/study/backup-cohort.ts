import { medianInPlace, type ModuleBaseline, type StudiedMonth } from '@coldrounds/core';
import { matchedCurve, type MatchedStretch } from './matched-curve.js';
import type { Against } from './queries.js';

/** A module with the months that it was seen in. */
export interface StudiedModule {
  cohort: string;
  baseline: ModuleBaseline;
  months: readonly StudiedMonth[];
}

const ageStep_years = 0.25;
export const daysPerYear = 365.25;

/** A value against the one that the module had when new, both at 298.15 K and its usual current. */
export const ratioTo = (whenNew: number | null, value: number | null): number | null =>
  value === null || whenNew === null ? null : value / whenNew;

const ageOf: Record<Against, (month: StudiedMonth) => number | null> = {
  age: ({ age_d }) => age_d,
  'weighted-age': ({ weightedAge_d }) => weightedAge_d,
};

/** What was measured in a month without a temperature could not be brought to 298.15 K. */
export const isComparable = ({ meanTemperature_K }: StudiedMonth): boolean => meanTemperature_K !== null;

/** The median of a module's ratios in each quarter year of its age. */
function byAge(
  { baseline, months }: StudiedModule,
  against: Against,
  ratio: (month: StudiedMonth, baseline: ModuleBaseline) => number | null,
): Map<number, number> {
  const steps = new Map<number, number[]>();
  for (const month of months.filter(isComparable)) {
    const age_d = ageOf[against](month);
    const value = ratio(month, baseline);
    if (age_d === null || value === null || !(value > 0)) continue;
    const step = Math.floor(age_d / daysPerYear / ageStep_years);
    steps.set(step, [...(steps.get(step) ?? []), value]);
  }
  return new Map([...steps].map(([step, values]) => [step, medianInPlace(Float64Array.from(values))]));
}

/** The stretches one after the other, a gap between them. */
function columns(stretches: readonly MatchedStretch[]) {
  const years = (step: number) => (step + 0.5) * ageStep_years;
  const along = <Value>(of: (stretch: MatchedStretch) => Value[], gap: (before: MatchedStretch) => Value) =>
    stretches.flatMap((stretch, index) => [
      ...(index === 0 ? [] : [gap(stretches[index - 1])]),
      ...of(stretch),
    ]);
  const values = (of: (stretch: MatchedStretch) => number[]) => along<number | null>(of, () => null);
  return {
    ageYears: along(
      ({ steps }) => steps.map(years),
      ({ steps }) => years(steps.at(-1)!) + ageStep_years / 2,
    ),
    low: values(({ low }) => low),
    middle: values(({ middle }) => middle),
    high: values(({ high }) => high),
  };
}

/**
 * How the modules of a cohort age, each against itself, by quarter years of age. Modules that are compared with what
 * they had when new and such that are compared with their rated value make cohorts of their own.
 */
export function backupCohort(cohort: string, members: readonly StudiedModule[], against: Against) {
  const temperatures = members.flatMap(({ months }) =>
    months.filter(isComparable).flatMap((month) => month.meanTemperature_K ?? []),
  );
  const curve = (ratio: Parameters<typeof byAge>[2]) =>
    columns(matchedCurve(members.map((member) => byAge(member, against, ratio))));
  const capacitance = curve((month, { capacitance_F }) => ratioTo(capacitance_F, month.capacitance_F));
  const esr = curve((month, { esr_Ohm }) => ratioTo(esr_Ohm, month.esr_Ohm));
  return {
    cohort,
    newValueFrom: members[0]?.baseline.from ?? ('own' as const),
    modules: members.length,
    meanTemperature_K:
      temperatures.length === 0
        ? null
        : temperatures.reduce((sum, value) => sum + value, 0) / temperatures.length,
    ageYears: capacitance.ageYears,
    capacitanceRatioP10: capacitance.low,
    capacitanceRatioP50: capacitance.middle,
    capacitanceRatioP90: capacitance.high,
    esrAgeYears: esr.ageYears,
    esrRatioP50: esr.middle,
  };
}
