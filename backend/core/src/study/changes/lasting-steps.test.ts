import { describe, expect, it } from 'vitest';
import { normalDraws, seededRandom } from '../../numerics/index.js';
import { lastingSteps } from './lasting-steps.js';

const days = (count: number, value: number) => new Array<number>(count).fill(value);
const find = (values: number[]) => lastingSteps(values, { least: 0.5 });

describe('a lasting step', () => {
  it('lies on the first day of the new level, with its size', () => {
    expect(find([...days(20, 8), ...days(20, 6)])).toEqual([{ day: 20, size: -2 }]);
    const [up, down] = find([...days(10, 6), ...days(12, 7.5), ...days(10, 6.5)]);
    expect(up).toEqual({ day: 10, size: 1.5 });
    expect(down).toEqual({ day: 22, size: -1 });
  });

  it('is found with a day in between, on which both settings held for some hours', () => {
    const [step, ...others] = find([...days(15, 8), 7.2, ...days(15, 6)]);
    expect(others).toEqual([]);
    expect([15, 16]).toContain(step!.day);
    expect(step!.size).toBe(-2);
  });

  it('is none where the value is back within days, is small, or wanders', () => {
    expect(find([...days(20, 8), ...days(4, 6), ...days(20, 8)])).toEqual([]);
    expect(find([...days(20, 8), ...days(20, 7.7)])).toEqual([]);
    expect(find(Array.from({ length: 60 }, (_, day) => 8 + 0.1 * day))).toEqual([]);
    // A setpoint that follows the load from day to day, weekdays high and weekends low.
    expect(find(Array.from({ length: 70 }, (_, day) => (day % 7 < 5 ? 8 : 6)))).toEqual([]);
  });

  it('is seen over days without running, but not over weeks', () => {
    expect(find([...days(10, 8), ...days(4, NaN), ...days(10, 6)])).toEqual([{ day: 14, size: -2 }]);
    expect(find([8, 8, 8, ...days(30, NaN), ...days(4, 8), ...days(10, 6)])).toEqual([]);
    expect(find([...days(6, 8), ...days(20, 6)])).toEqual([]);
  });

  it('is not made of noise: none in 500 years of days that scatter by 0.1 K', () => {
    const normal = normalDraws(seededRandom(4));
    let found = 0;
    for (let year = 0; year < 500; year++)
      found += find(Array.from({ length: 365 }, () => 7 + 0.1 * normal())).length;
    expect(found).toBe(0);
  });

  it('is placed within a day where 0.1 K of noise lies over it, in each of 200 series', () => {
    const normal = normalDraws(seededRandom(9));
    for (let n = 0; n < 200; n++) {
      const steps = find(Array.from({ length: 80 }, (_, day) => (day < 40 ? 8 : 7) + 0.1 * normal()));
      expect(steps).toHaveLength(1);
      expect(Math.abs(steps[0]!.day - 40)).toBeLessThanOrEqual(1);
      // Five standard errors of a difference of two medians of seven days: 5 * 0.1 * 1.25 * sqrt(2 / 7).
      expect(Math.abs(steps[0]!.size + 1)).toBeLessThan(0.34);
    }
  });
});
