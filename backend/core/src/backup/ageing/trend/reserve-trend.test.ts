import { describe, expect, it } from 'vitest';
import { filled, normalDraws, quantileSorted, seededRandom } from '../../../numerics/index.js';
import { reserveTrend, type Trend } from './reserve-trend.js';

const day_s = 86400;
const days = 400;
const scatter = 0.01;
const coldest_K = 285;
/** Limit at half of the capacitance of the first day. */
const limit_F = 0.5;

/**
 * One test a day of a module at 298.15 K on average, where weighted age is about age: capacitance as it is at the
 * coldest, temperature over a year, and a temperature law that is wrong by so much.
 */
function trendOf(capacitance_F: (day: number) => number, wrongPerK = 0, seed = 3): Trend {
  const random = seededRandom(seed);
  const normal = normalDraws(random);
  const temperature_K = filled(
    days,
    (day) => 298.15 + 8 * Math.cos((2 * Math.PI * day) / 365.25) + 2 * normal(),
  );
  return reserveTrend({
    time_s: filled(days, (day) => day * day_s),
    temperature_K,
    capacitance_F: filled(
      days,
      (day) =>
        capacitance_F(day) *
        Math.exp(wrongPerK * (temperature_K[day]! - coldest_K)) *
        (1 + scatter * normal()),
    ),
    coldest_K,
    perK: 0.001 - wrongPerK,
    scatter,
    step: null,
    now_s: days * day_s,
    lifeDoubling_K: 1e6,
    limits_F: [[limit_F]],
    draws: 300,
    seed: 1,
  })!;
}

const daysUntil = (trend: Trend, fraction: number) => quantileSorted(trend.timeUntil_s[0]!, fraction) / day_s;

describe('trend of the reserve', () => {
  // Life does not depend on temperature here (it doubles per million K), so that age counts by the calendar.
  const straight = (day: number) => 1 - day / 1600;

  it('has the date of a straight fall, 400 days from now, between its P10 and P90', () => {
    const trend = trendOf(straight);
    expect(daysUntil(trend, 0.1)).toBeLessThan(400);
    expect(daysUntil(trend, 0.9)).toBeGreaterThan(400);
    expect(trend.paceChange).toBeNull();
  });

  it.each([-0.0008, -0.0004, 0.0004, 0.0008])(
    'does not take a temperature law that is wrong by %d per K for ageing that quickens or slows',
    (wrongPerK) => {
      const trend = trendOf(straight, wrongPerK);
      expect(trend.paceChange).toBeNull();
      expect(daysUntil(trend, 0.1)).toBeLessThan(400);
      expect(daysUntil(trend, 0.9)).toBeGreaterThan(400);
      expect(Math.abs(trend.level_F / 0.75 - 1)).toBeLessThan(0.015);
      // The right law is 0.001 per K; with it the level is the same at every temperature.
      expect(Math.abs(trend.perK - 0.001)).toBeLessThan(0.0004);
    },
  );

  it.each([
    // By half on day 200 + 500; the line through all 400 days would say later.
    ['set in half-way', (day: number) => 1 - Math.max(0, day - 200) / 1000, 200, true],
    // From 0.8 on day 100 by 0.0005 a day to half on day 700.
    ['has slowed', (day: number) => (day < 100 ? 1 - day / 500 : 0.8 - (day - 100) / 2000), 100, false],
  ] as const)('dates ageing that %s by the pace since, and says since when', (_, course, at_d, faster) => {
    let inside = 0;
    for (let seed = 1; seed <= 20; seed++) {
      const trend = trendOf(course, 0, seed);
      expect(trend.paceChange).toMatchObject({ faster });
      expect(Math.abs(trend.paceChange!.at_s / day_s - at_d)).toBeLessThanOrEqual(50);
      if (daysUntil(trend, 0.1) <= 300 && daysUntil(trend, 0.9) >= 300) inside++;
    }
    // 16 of 20 on average between P10 and P90; fewer than 12 comes by chance in 1 % of draws (binomial).
    expect(inside).toBeGreaterThanOrEqual(12);
  });

  it('sees no fall in a module that keeps its capacitance', () => {
    expect(trendOf(() => 1).notFalling).toBeGreaterThan(0.05);
  });
});
