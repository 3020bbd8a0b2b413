import { describe, expect, it } from 'vitest';
import { ageingMonths, type AgeingMonth } from './ageing-months.js';
import { assessModule } from '../assess-module.js';
import type { ClosingJudgement } from '../closing/index.js';
import { normaliseTests } from './normalised-tests.js';
import { circuit, closing, dailyTests, day_s, module, noReadings, start_s } from '../sample-modules.js';

const lifeDoubling_K = 10;
const monthsOf = (closings: ClosingJudgement[]): AgeingMonth[] =>
  ageingMonths(normaliseTests(closings, lifeDoubling_K)!, module, lifeDoubling_K);

describe('ageing by the month', () => {
  const law = (temperature_K: number) => ({
    capacitance_F: 0.9 * Math.exp(0.001 * (temperature_K - 298.15)),
    esr_Ohm: 0.6 * Math.exp(-0.008 * (temperature_K - 298.15)),
  });
  const months = monthsOf(dailyTests(80, (_, T) => law(T)));

  it('has a row for each calendar month with a test', () => {
    expect(months.map(({ month_s }) => new Date(month_s * 1000).toISOString().slice(0, 10))).toEqual([
      '2025-01-01',
      '2025-02-01',
      '2025-03-01',
    ]);
    expect(months.map(({ tests }) => tests)).toEqual([22, 28, 30]);
  });

  it('leaves out a month without one', () => {
    // From 10 January on, day 10 is the 20th and day 60 is 11 March.
    expect(monthsOf([closing(0), closing(10), closing(60)]).map(({ tests }) => tests)).toEqual([2, 1]);
  });

  it('brings every test to 298.15 K, so that warm and cold months of a module that does not age are alike', () => {
    for (const month of months) {
      expect(month.capacitance_F).toBeCloseTo(0.9, 3);
      expect(month.esr_Ohm).toBeCloseTo(0.6, 2);
      expect(month.relativeCapacitance).toBeCloseTo(0.9, 3);
      expect(month.relativeEsr).toBeCloseTo(1.2, 2);
    }
  });

  it('leaves out tests at another current than the usual one', () => {
    const odd = dailyTests(20, (day) => (day % 4 === 3 ? { current_A: 0.8, capacitance_F: 0.5 } : {}));
    const [month] = monthsOf(odd);
    expect(month!.tests).toBe(15);
    expect(month!.capacitance_F).toBeCloseTo(1, 2);
  });

  it('counts age from installation: the middle test of January comes on day 20', () => {
    expect(months[0]!.age_d).toBe(20);
  });

  it('counts a day at 308.15 K as two and one at 298.15 K as one: life doubles per 10 K (COMMON PRACTICE)', () => {
    const at = (temperature_K: number) => monthsOf(dailyTests(20, () => ({ temperature_K })))[0]!;
    // The middle of 20 daily tests from day 9 after installation on is that of day 19.
    expect(at(298.15).age_d).toBe(19);
    expect(at(298.15).weightedAge_d).toBeCloseTo(19, 6);
    expect(at(308.15).weightedAge_d).toBeCloseTo(38, 6);
    expect(at(288.15).weightedAge_d).toBeCloseTo(9.5, 6);
  });

  it('takes the time before the first test to have been as warm as the time since', () => {
    // 9 days before it; then 10 days at 298.15 K, one of passing over (1.5), and 9 at 308.15 K: 29.5 in 20 days.
    const closings = dailyTests(21, (day) => ({ temperature_K: day <= 10 ? 298.15 : 308.15 }));
    const before_d = (9 * 29.5) / 20;
    const [month] = monthsOf(closings);
    expect(month!.age_d).toBe(19);
    expect(month!.weightedAge_d).toBeCloseTo(before_d + 10, 6);
    expect(month!.meanTemperature_K).toBeCloseTo(298.15 + (10 * 10) / 21, 6);
    const [alone] = monthsOf([closing(0, { temperature_K: 308.15 })]);
    expect(alone!.weightedAge_d).toBeCloseTo(18, 6);
  });

  it('has no weighted age where no temperature was ever sent', () => {
    const [month] = monthsOf(dailyTests(20, () => ({ temperature_K: null })));
    expect(month).toMatchObject({ weightedAge_d: null, meanTemperature_K: null, tests: 20 });
  });

  it('carries an uncertainty from the scatter of the month, and none for under three tests', () => {
    // Of each five tests one is 1, one 1.004, one 1.002 and two 0.997: the deviations from the median of 1 are 0, 2, 3,
    // 3 and 4 thousandths, their median 3, so 1.25 x 1.4826 x 0.003 / sqrt(20) = 0.00124.
    const [month] = monthsOf(dailyTests(20, () => ({ temperature_K: 298.15 })));
    expect(month!.capacitance_F).toBeCloseTo(1, 9);
    expect(month!.capacitanceUncertainty_F).toBeCloseTo(0.00124, 5);
    const [few] = monthsOf([closing(0), closing(1)]);
    expect(few).toMatchObject({ tests: 2, capacitanceUncertainty_F: null, esrUncertainty_Ohm: null });
  });

  it('carries that of ESR by the same rule, of the tests with one', () => {
    // By turns 0.49 and 0.51 Ohm in 20 tests: the median is 0.5, every deviation 0.01.
    const [month] = monthsOf(
      dailyTests(20, (day) => ({ temperature_K: 298.15, esr_Ohm: day % 2 ? 0.51 : 0.49 })),
    );
    expect(month!.esr_Ohm).toBeCloseTo(0.5, 9);
    expect(month!.esrUncertainty_Ohm).toBeCloseTo((1.25 * 1.4826 * 0.01) / Math.sqrt(20), 9);
  });

  it('has no ESR where none was measured, or only now and then', () => {
    const none = { esr_Ohm: null, relativeEsr: null, esrUncertainty_Ohm: null };
    const [month] = monthsOf(dailyTests(9, () => ({ esr_Ohm: null })));
    expect(month).toMatchObject(none);
    // Given from February on only: the single one in January is too few for that month.
    const seldom = monthsOf(dailyTests(50, (day) => ({ esr_Ohm: day === 3 || day >= 22 ? 0.5 : null })));
    expect(seldom[0]).toMatchObject(none);
    expect(seldom[1]!.esr_Ohm).toBeCloseTo(0.5, 2);
  });

  it('comes with the assessment of the module, and is empty without a comparable test', () => {
    const assess = (closings: ClosingJudgement[]) =>
      assessModule({
        module,
        circuits: [circuit],
        closings,
        readings: noReadings,
        now_s: start_s + 81 * day_s,
      });
    expect(assess(dailyTests(80, (_, T) => law(T))).ageing).toEqual(months);
    expect(assess([closing(0, { capacitance_F: null })]).ageing).toEqual([]);
  });
});
