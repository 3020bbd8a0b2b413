import { describe, expect, it } from 'vitest';
import { ageingRows } from './ageing-rows.js';
import { closing, dailyTests, module } from './sample-modules.js';

describe('ageing rows', () => {
  const law = (temperature_K: number) => ({
    capacitance_F: 0.9 * Math.exp(0.001 * (temperature_K - 298.15)),
    esr_Ohm: 0.6 * Math.exp(-0.008 * (temperature_K - 298.15)),
  });
  const rows = ageingRows([{ key: 'a', module, closings: dailyTests(80, (_, T) => law(T)) }]);

  it('are one for each calendar month with a test', () => {
    expect(rows.map(({ month_s }) => new Date(month_s * 1000).toISOString().slice(0, 7))).toEqual([
      '2025-01',
      '2025-02',
      '2025-03',
    ]);
    expect(rows.map(({ tests }) => tests)).toEqual([22, 28, 30]);
    expect(rows.every(({ key }) => key === 'a')).toBe(true);
  });

  it('bring every test to 298.15 K, so that warm and cold months of a module that does not age are alike', () => {
    for (const row of rows) {
      expect(row.capacitance_F).toBeCloseTo(0.9, 3);
      expect(row.esr_Ohm).toBeCloseTo(0.6, 2);
      expect(row.capacitanceShare).toBeCloseTo(0.9, 3);
      expect(row.esrShare).toBeCloseTo(1.2, 2);
    }
  });

  it('count age from installation: the middle test of January comes on day 20', () => {
    expect(rows[0]!.age_d).toBe(20);
    expect(rows[0]!.weightedAge_d).toBeLessThan(rows[1]!.weightedAge_d);
  });

  it('age twice as fast at 308.15 K as at 298.15 K: life doubles per 10 K (COMMON PRACTICE)', () => {
    const at = (temperature_K: number) =>
      ageingRows([{ key: 'a', module, closings: dailyTests(20, () => ({ temperature_K })) }])[0]!
        .weightedAge_d;
    expect(at(308.15) / at(298.15)).toBeCloseTo(2, 6);
  });

  it('carry an uncertainty from the scatter of the month, and none for under three tests', () => {
    const [row] = ageingRows([{ key: 'a', module, closings: dailyTests(20) }]);
    expect(row!.capacitanceUncertainty_F).toBeGreaterThan(0.0003);
    expect(row!.capacitanceUncertainty_F).toBeLessThan(0.003);
    const [few] = ageingRows([{ key: 'a', module, closings: [closing(0), closing(1)] }]);
    expect(few).toMatchObject({ tests: 2, capacitanceUncertainty_F: null, esrUncertainty_Ohm: null });
  });

  it('are none for a module without a comparable test, and have no ESR where none was measured', () => {
    expect(ageingRows([{ key: 'a', module, closings: [closing(0, { capacitance_F: null })] }])).toEqual([]);
    const [row] = ageingRows([{ key: 'a', module, closings: dailyTests(9, () => ({ esr_Ohm: null })) }]);
    expect(row).toMatchObject({ esr_Ohm: null, esrShare: null, esrUncertainty_Ohm: null });
  });
});
