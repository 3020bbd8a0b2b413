import type { AgeingMonth, ModuleBaseline } from '@coldrounds/core';
import { describe, expect, it } from 'vitest';
import { backupCohort, type StudiedModule } from './backup-cohort.js';

const month = (age_d: number, capacitance_F: number, changed: Partial<AgeingMonth> = {}): AgeingMonth => ({
  month_s: 0,
  age_d,
  weightedAge_d: 2 * age_d,
  meanTemperature_K: 308.15,
  capacitance_F,
  capacitanceUncertainty_F: null,
  esr_Ohm: null,
  esrUncertainty_Ohm: null,
  relativeCapacitance: 1,
  relativeEsr: null,
  tests: 2,
  ...changed,
});
const module = (capacitance_F: number, months: AgeingMonth[], from: ModuleBaseline['from'] = 'own') =>
  ({
    cohort: 'a',
    baseline: { capacitance_F, esr_Ohm: 0.5, from, tests: 20 },
    months,
  }) satisfies StudiedModule;

describe('a cohort of backup modules', () => {
  it('has ratios to the own new value of each, by quarter years of age', () => {
    // 30 and 60 days are in the first quarter of a year, 100 days in the second.
    const cohort = backupCohort(
      'a',
      [module(10, [month(30, 9.8), month(60, 9.6), month(100, 9, { esr_Ohm: 0.6 })])],
      'age',
    );
    expect(cohort).toMatchObject({ modules: 1, newValueFrom: 'own', ageYears: [0.125, 0.375] });
    expect(cohort.capacitanceRatioP50[0]).toBeCloseTo((0.98 + 0.96) / 2, 12);
    expect(cohort.capacitanceRatioP50[1]).toBeCloseTo(0.9, 12);
    expect(cohort.esrAgeYears).toEqual([0.375]);
    expect(cohort.esrRatioP50[0]).toBeCloseTo(1.2, 12);
  });

  it('does not rise because other modules are seen later', () => {
    // Each loses a tenth of its own; the second, hardly worn, is seen half a year later.
    const cohort = backupCohort(
      'a',
      [module(10, [month(30, 2), month(100, 1.8)]), module(10, [month(100, 9.9), month(200, 8.91)])],
      'age',
    );
    const [first, second, third] = cohort.capacitanceRatioP50 as number[];
    expect(second / first).toBeCloseTo(0.9, 12);
    expect(third / second).toBeCloseTo(0.9, 12);
  });

  it('leaves a gap where no module was seen on both sides', () => {
    const cohort = backupCohort('a', [module(10, [month(30, 9)]), module(10, [month(100, 5)])], 'age');
    expect(cohort.ageYears).toEqual([0.125, 0.25, 0.375]);
    expect(cohort.capacitanceRatioP50[1]).toBeNull();
  });

  it('moves along the age axis where ages are weighted by temperature', () => {
    // 30 and 60 days that count twice are 60 and 120: the first and the second quarter.
    const cohort = backupCohort('a', [module(10, [month(30, 9), month(60, 8)])], 'weighted-age');
    expect(cohort.ageYears).toEqual([0.125, 0.375]);
    expect(cohort.capacitanceRatioP50[0]).toBeCloseTo(0.9, 12);
    expect(cohort.capacitanceRatioP50[1]).toBeCloseTo(0.8, 12);
  });

  it('leaves out months without a temperature', () => {
    const cold = month(60, 5, { meanTemperature_K: null });
    const cohort = backupCohort(
      'a',
      [module(10, [month(30, 9, { meanTemperature_K: 300.15 }), cold])],
      'age',
    );
    expect(cohort.capacitanceRatioP50).toHaveLength(1);
    expect(cohort.capacitanceRatioP50[0]).toBeCloseTo(0.9, 12);
    expect(cohort.meanTemperature_K).toBe(300.15);
  });
});
