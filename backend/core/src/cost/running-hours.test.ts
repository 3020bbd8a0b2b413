import { describe, expect, it } from 'vitest';
import { lastWeekOf, runningHours } from './running-hours.js';

const window = (start_s: number, ran_s: number) => ({
  start_s,
  ran_s,
  cuts: [],
  stops: [],
  atStart: [],
  ranUntil_s: null,
});

describe('hours of running in a week', () => {
  it('are the share of the windows that ran, of 168 h', () => {
    expect(runningHours([window(0, 7200), window(7200, 0), window(14_400, 3600)])).toBeCloseTo(84, 9);
    expect(runningHours([window(0, 7200)])).toBe(168);
    expect(runningHours([])).toBe(0);
  });

  it('are taken from the seven days before the newest window', () => {
    const windows = Array.from({ length: 100 }, (_, k) => window(7200 * k, 7200));
    const week = lastWeekOf(windows);
    expect(week).toHaveLength(84);
    expect(week[0].start_s).toBe(7200 * 16);
  });
});
