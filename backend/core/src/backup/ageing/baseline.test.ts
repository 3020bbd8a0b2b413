import { describe, expect, it } from 'vitest';
import { closing, module } from '../sample-modules.js';
import { baselineOf } from './baseline.js';
import { normaliseTests } from './normalised-tests.js';
import type { ClosingJudgement } from '../closing/index.js';

/** Daily tests from so many days after 10 January 2025 on; installed on the first of that month. */
const baseline = (
  first_d: number,
  days: number,
  of: (day: number) => Partial<ClosingJudgement> = () => ({}),
) =>
  baselineOf(
    normaliseTests(
      Array.from({ length: days }, (_, day) => closing(first_d + day, of(day))),
      10,
    )!,
    module,
    { newPeriod_d: 28 },
  );

describe('the value of a module when new', () => {
  it('is the median of its tests in the four weeks from the first on', () => {
    const found = baseline(0, 60, (day) => ({
      capacitance_F: day <= 28 ? 1 : 0.99,
      esr_Ohm: day <= 28 ? 0.5 : 0.52,
    }));
    expect(found).toMatchObject({ from: 'own', tests: 29 });
    expect(found.capacitance_F).toBeCloseTo(1, 9);
    expect(found.esr_Ohm).toBeCloseTo(0.5, 9);
  });

  it('is the rated one where the first test came over half a year after the installation', () => {
    expect(baseline(171, 40).from).toBe('own');
    expect(baseline(172, 40)).toEqual({
      capacitance_F: module.ratedCapacitance_F,
      esr_Ohm: module.ratedEsr_Ohm,
      from: 'rated',
      tests: 0,
    });
    const undated = { ...module, installedOn: 'unknown' };
    const tests = normaliseTests([closing(400), closing(401), closing(402)], 10)!;
    expect(baselineOf(tests, undated, { newPeriod_d: 28 }).from).toBe('own');
  });

  it('needs three tests, and three with an ESR for that of the ESR', () => {
    expect(baseline(0, 2).from).toBe('rated');
    expect(baseline(0, 3).from).toBe('own');
    const few = baseline(0, 10, (day) => ({ esr_Ohm: day < 8 ? null : 0.5 }));
    expect([few.from, few.esr_Ohm]).toEqual(['own', null]);
  });
});
