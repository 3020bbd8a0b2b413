import { describe, expect, it } from 'vitest';
import type { AgeingMonth, ClosingJudgement } from '../../backup/index.js';
import { closingTimeFromOpen_s } from './closing-time.js';
import { packMonths, unpackMonths } from './packed-months.js';

describe('months of a module', () => {
  it('come back from their bytes to seven digits, and what is not known as not known', () => {
    const month: AgeingMonth = {
      month_s: Date.UTC(2026, 10) / 1000,
      age_d: 1234.567,
      weightedAge_d: null,
      meanTemperature_K: 303.15,
      capacitance_F: 9.87654,
      capacitanceUncertainty_F: 0.01,
      esr_Ohm: null,
      esrUncertainty_Ohm: null,
      relativeCapacitance: 0.98,
      relativeEsr: null,
      tests: 20,
    };
    const bytes = packMonths([{ ...month, month_s: 0, esr_Ohm: 0.1 }, month]);
    expect(bytes).toHaveLength(48);
    // Bytes of a larger buffer, as a database driver gives them.
    const larger = new Uint8Array(51);
    larger.set(bytes, 3);
    const [first, second] = unpackMonths(larger.subarray(3));
    expect(first!.month_s).toBe(0);
    expect(first!.esr_Ohm).toBeCloseTo(0.1, 7);
    expect(second).toMatchObject({ month_s: month.month_s, weightedAge_d: null, esr_Ohm: null });
    expect(Math.abs(second!.age_d / month.age_d - 1)).toBeLessThan(1e-7);
    expect(Math.abs(second!.capacitance_F / month.capacitance_F - 1)).toBeLessThan(1e-7);
  });
});

describe('the closing time', () => {
  const closing = (timeToShut_s: number | null, openingBefore_pct: number, proof = true) =>
    ({ proof, timeToShut_s, openingBefore_pct }) as ClosingJudgement;

  it('is that from fully open, the median of the closings that ended shut', () => {
    // 4 s from half open and 6 s from three quarters are both 8 s from open.
    expect(closingTimeFromOpen_s([closing(4, 50), closing(6, 75), closing(30, 100)])).toBe(8);
  });

  it('counts the newest ten alone, and neither those from nearly shut nor those that did not end shut', () => {
    const old = Array.from({ length: 20 }, () => closing(5, 50));
    expect(closingTimeFromOpen_s([...old, ...Array.from({ length: 10 }, () => closing(6, 50))])).toBe(12);
    expect(closingTimeFromOpen_s([closing(3, 10), closing(4, 50, false), closing(null, 60)])).toBeNull();
  });
});
