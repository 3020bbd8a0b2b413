import { describe, expect, it } from 'vitest';
import { addedAge_s, rootAxis, stepAlong, type AgeAxis } from './age-axis.js';

const year_s = 365.25 * 86_400;
const calendar = { timeUntil_s: (added_s: number) => added_s, meanRate: 1, spread: () => 0 };
const byAge: AgeAxis = { calendar, prior: 1, now: 2 * year_s, x: Float64Array.of(0, year_s, 2 * year_s) };

describe('the axis by the root of age', () => {
  it('is the age at one year, twice that at four', () => {
    // New two years before the origin: ages of 2, 3 and 4 years.
    const { x, now } = rootAxis(byAge, 2 * year_s);
    expect(now / year_s).toBeCloseTo(2, 12);
    expect([...x].map((value) => value / year_s)).toEqual(
      [Math.SQRT2, Math.sqrt(3), 2].map((v) => expect.closeTo(v, 12)),
    );
  });

  it('adds the age between two roots, and is stepped along by it', () => {
    const axis = rootAxis(byAge, 2 * year_s);
    // From the root of 4 to that of 9 years: five years.
    expect(addedAge_s(axis, year_s) / year_s).toBeCloseTo(5, 12);
    expect(stepAlong(axis, 5 * year_s) / year_s).toBeCloseTo(1, 12);
    expect(addedAge_s(byAge, 7)).toBe(7);
    expect(stepAlong(byAge, 7)).toBe(7);
  });
});
