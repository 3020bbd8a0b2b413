import { describe, expect, it } from 'vitest';
import type { ClosingJudgement } from '../closing/index.js';
import { module as plainModule, closing, dailyTests, day_s, start_s } from '../sample-modules.js';
import { baselineOf } from './baseline.js';
import { esrExponent } from './esr-exponent.js';
import {
  capacitanceAtReference_F,
  comparableTests,
  esrAtReference_Ohm,
  normaliseTests,
} from './normalised-tests.js';
import { adjustedForSteps, findSuddenChange, lastStepIndex } from './sudden-change.js';

const series = (days: number, of: (day: number) => Partial<ClosingJudgement>) =>
  Array.from({ length: days }, (_, day) => closing(day, of(day)));
const normalised = (closings: ClosingJudgement[]) => normaliseTests(closings, 10)!;

describe('tests that can be compared', () => {
  it('are at a current within 25 % of the median one', () => {
    const at = (current_A: number | null) => [
      ...series(4, () => ({ current_A: 0.4 })),
      closing(4, { current_A }),
    ];
    expect(comparableTests(at(0.49))).toHaveLength(5);
    expect(comparableTests(at(0.51))).toHaveLength(4);
    expect(comparableTests(at(0.31))).toHaveLength(5);
    expect(comparableTests(at(0.29))).toHaveLength(4);
    expect(comparableTests(at(null))).toHaveLength(5);
    // Of two, none is the usual one.
    expect(comparableTests([closing(0, { current_A: 0.4 }), closing(1, { current_A: 0.9 })])).toHaveLength(2);
  });

  it('have a capacitance known to 10 %', () => {
    const with_F = (capacitance_F: number | null, capacitanceUncertainty_F: number | null) =>
      comparableTests([closing(0, { capacitance_F, capacitanceUncertainty_F })]).length;
    expect(with_F(1, 0.1)).toBe(1);
    expect(with_F(1, 0.101)).toBe(0);
    expect(with_F(1, null)).toBe(1);
    expect(with_F(null, null)).toBe(0);
    expect(with_F(0, null)).toBe(0);
    expect(normaliseTests([closing(0, { capacitance_F: null })], 10)).toBeNull();
  });

  it('take the temperature of the test before where they were sent without one, the first ones that of the first with one', () => {
    const temperatures = [null, 290, null, 300, null];
    const all = normalised(series(5, (day) => ({ temperature_K: temperatures[day] })));
    expect([...all.temperature_K]).toEqual([290, 290, 290, 300, 300]);
    expect(all.temperaturesKnown).toBe(2);
    expect(all.law.span_K).toBe(10);
    expect(normalised(series(2, () => ({ temperature_K: null }))).law.span_K).toBe(0);
  });

  it('are brought to 298.15 K by the law: 0.001 per K and ESR -0.008 per K before any is learned', () => {
    const all = normalised(series(3, () => ({ temperature_K: 308.15 })));
    expect(capacitanceAtReference_F(all, 0)).toBeCloseTo(Math.exp(-0.01), 9);
    expect(esrAtReference_Ohm(all, 0)).toBeCloseTo(0.5 * Math.exp(0.08), 9);
  });

  it('have an ESR from where on nine in ten do', () => {
    const without = { esr_Ohm: null, esrUncertainty_Ohm: null };
    // One in five in the first 30 days, all from then on.
    const all = normalised(series(60, (day) => (day < 30 && day % 5 ? without : {})));
    // From day 25 on 31 of 35 have one, which is under nine in ten; from day 30 on all have, with day 29 30 of 31.
    expect(all.esrFrom).toBe(30);
    expect(all.esrTests).toBe(30);
    expect(esrAtReference_Ohm(all, 25)).toBeNull();
    expect(esrAtReference_Ohm(all, 30)).not.toBeNull();
    expect(normalised(series(10, (day) => (day < 8 ? without : {}))).esrLaw).toBeNull();
    // The last three of eleven all have one; the single one before them does not count.
    const late = normalised(series(11, (day) => (day === 2 || day >= 8 ? {} : without)));
    expect([late.esrFrom, late.esrTests]).toEqual([8, 3]);
  });
});

describe('a sudden change', () => {
  const drop = (day: number) => ({ capacitance_F: day < 30 ? 1 : 0.8, esr_Ohm: day < 30 ? 0.5 : 1 });
  const both = normalised(series(40, drop));

  it('is given as ratios of capacitance, ESR and reserve', () => {
    const change = findSuddenChange(both, (c, r) => c / r)!;
    expect(change.at_s).toBe(start_s + 30 * day_s);
    expect(change.tests).toBe(10);
    expect(change.capacitanceRatio).toBeCloseTo(0.8, 6);
    expect(change.esrRatio).toBeCloseTo(2, 6);
    expect(change.reserveRatio).toBeCloseTo(0.4, 3);
    expect(change.capacitanceRatioUncertainty).toBeCloseTo(0.8 * both.capacitanceSteps[0]!.uncertainty, 9);
    expect(change.esrRatioUncertainty).toBeCloseTo(2 * both.esrSteps[0]!.uncertainty, 6);
  });

  it('is corrected in the tests before it', () => {
    expect(lastStepIndex(both)).toBe(30);
    const capacitance_F = Float64Array.from({ length: 40 }, (_, day) => drop(day).capacitance_F);
    for (const value of adjustedForSteps(both, capacitance_F)) expect(value).toBeCloseTo(0.8, 6);
  });

  it('may be of capacitance or of ESR alone', () => {
    const ofC = findSuddenChange(
      normalised(series(40, (day) => ({ capacitance_F: drop(day).capacitance_F }))),
      (c) => c,
    )!;
    expect(ofC).toMatchObject({ esrRatio: null, esrRatioUncertainty: null });
    expect(ofC.reserveRatio).toBeCloseTo(0.8, 6);
    const ofR = findSuddenChange(
      normalised(series(40, (day) => ({ esr_Ohm: drop(day).esr_Ohm }))),
      (_, r) => 1 / r,
    )!;
    expect(ofR).toMatchObject({ capacitanceRatio: null, capacitanceRatioUncertainty: null });
    expect(ofR.reserveRatio).toBeCloseTo(0.5, 3);
  });

  it('is none where nothing changed, or only for the better', () => {
    expect(findSuddenChange(normalised(series(40, () => ({}))), (c) => c)).toBeNull();
    expect(lastStepIndex(normalised(series(40, () => ({}))))).toBe(0);
    const better = normalised(series(40, (day) => ({ capacitance_F: day < 30 ? 0.8 : 1 })));
    expect(findSuddenChange(better, (c) => c)).toBeNull();
    expect(lastStepIndex(better)).toBe(30);
  });

  it('is the later of two that are days apart', () => {
    const apart = normalised(
      series(50, (day) => ({ capacitance_F: day < 20 ? 1 : 0.8, esr_Ohm: day < 40 ? 0.5 : 1 })),
    );
    expect(findSuddenChange(apart, (c, r) => c / r)).toMatchObject({
      at_s: start_s + 40 * day_s,
      capacitanceRatio: null,
      tests: 10,
    });
  });
});

describe("a module's own new value", () => {
  const settings = { newPeriod_d: 28 };
  const installed = (installedOn: string) => ({ ...plainModule, installedOn });

  it('is the median of its first 28 days', () => {
    const levels = (day: number) => ({ capacitance_F: day <= 28 ? 1.1 + (day % 2 ? 0.001 : -0.001) : 0.9 });
    const own = baselineOf(normalised(series(60, levels)), plainModule, settings);
    expect(own).toMatchObject({ from: 'own', tests: 29 });
    expect(own.capacitance_F).toBeCloseTo(1.099, 3);
    expect(own.esr_Ohm).toBeCloseTo(0.5, 6);
  });

  it('is the rated one under three tests, or where telemetry began over half a year after installation', () => {
    const rated = { capacitance_F: 1, esr_Ohm: 0.5, from: 'rated', tests: 0 };
    expect(baselineOf(normalised(series(2, () => ({}))), plainModule, settings)).toEqual(rated);
    expect(baselineOf(normalised(series(3, () => ({}))), plainModule, settings).from).toBe('own');
    // The first test is at midnight of 2025-01-10.
    const first = normalised(series(30, () => ({})));
    expect(baselineOf(first, installed('2024-07-14'), settings).from).toBe('own');
    expect(baselineOf(first, installed('2024-07-13'), settings)).toEqual(rated);
  });

  it('has no ESR where fewer than three of the first tests measured one', () => {
    const tests = series(40, (day) => (day < 27 ? { esr_Ohm: null, esrUncertainty_Ohm: null } : {}));
    expect(baselineOf(normalised(tests), plainModule, settings).esr_Ohm).toBeNull();
  });
});

describe('how ESR goes with capacitance', () => {
  it('is C^-3 for a module that has shown so', () => {
    const tests = dailyTests(200, (day) => {
      const level = 1 - 0.001 * day;
      return { capacitance_F: level, esr_Ohm: 0.5 * level ** -3 };
    });
    const { exponent, uncertainty } = esrExponent(normalised(tests));
    expect(exponent).toBeCloseTo(3, 1);
    expect(uncertainty).toBeLessThan(0.2);
  });

  it('is the prior where ESR was not measured, or seldom, or capacitance has hardly fallen', () => {
    const common = { exponent: 2.5, uncertainty: 1.5 };
    const without = { esr_Ohm: null, esrUncertainty_Ohm: null };
    expect(esrExponent(normalised(dailyTests(100, () => without)))).toEqual(common);
    expect(esrExponent(normalised(dailyTests(100)))).toEqual(common);
    const falling = (days: number) =>
      normalised(
        series(days, (day) => ({ capacitance_F: 1 - 0.01 * day, esr_Ohm: 0.5 * (1 - 0.01 * day) ** -3 })),
      );
    expect(esrExponent(falling(11))).toEqual(common);
    expect(esrExponent(falling(12))).not.toEqual(common);
  });

  it('leaves sudden changes out', () => {
    const tests = series(200, (day) => {
      const level = 1 - 0.001 * day;
      const stepped = day < 100 ? 1 : 0.8;
      return { capacitance_F: level * stepped, esr_Ohm: 0.5 * level ** -3 };
    });
    expect(Math.abs(esrExponent(normalised(tests)).exponent - 3)).toBeLessThan(0.3);
  });
});
