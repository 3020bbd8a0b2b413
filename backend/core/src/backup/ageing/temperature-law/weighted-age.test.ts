import { describe, expect, it } from 'vitest';
import { filled, normalDraws, seededRandom } from '../../../numerics/index.js';
import { ageingCalendar, ageingRateAt, seasonsOf, weightedAge } from './weighted-age.js';

const day_s = 86_400;
const year_s = 365.25 * day_s;
const omega = (2 * Math.PI) / year_s;

/** One reading a day of a speed of ageing given over the day. */
function calendarOf(days: number, rate: (time_s: number) => number) {
  const time_s = filled(days + 1, (i) => i * day_s);
  const rates = filled(days + 1, (i) => rate(time_s[i]!));
  return ageingCalendar(time_s, weightedAge(time_s, rates), rates, seasonsOf(time_s));
}

describe('weighted age', () => {
  it('runs twice as fast 10 K above 298.15 K and half as fast 10 K under it', () => {
    expect(ageingRateAt(308.15, 10)).toBeCloseTo(2, 12);
    expect(ageingRateAt(298.15, 10)).toBeCloseTo(1, 12);
    expect(ageingRateAt(288.15, 10)).toBeCloseTo(0.5, 12);
  });

  it('adds trapezoids: 10 s from speed 1 to 3, then 5 s at 3, are 35 s', () => {
    expect([...weightedAge([0, 10, 15], [1, 3, 3])]).toEqual([0, 20, 35]);
  });
});

describe('the calendar of ageing', () => {
  it.each([
    [60, 30],
    [60, 400],
    [150, 120],
    [270, 60],
    [270, 300],
  ])(
    'seen for %i days holds what %i days add between its P10 and P90 in 72 to 88 of 100 cases',
    (seen_d, ahead_d) => {
      // Swings of ln rate of 0.3 each way, months 15 % off, years 5 %: COMMON PRACTICE, no source.
      const normal = normalDraws(seededRandom(31 + seen_d + ahead_d));
      let inside = 0;
      const cases = 500;
      for (let n = 0; n < cases; n++) {
        const [b, c, year] = [0.3 * normal(), 0.3 * normal(), 0.05 * normal()];
        const months = Array.from({ length: 30 }, () => 0.15 * normal());
        const rate = (t: number) =>
          Math.exp(b * Math.cos(omega * t) + c * Math.sin(omega * t) + months[Math.floor(t / day_s / 30)]!);
        const calendar = calendarOf(seen_d, rate);
        let added_s = 0;
        for (let d = seen_d; d < seen_d + ahead_d; d++)
          added_s += rate((d + 0.5) * day_s) * day_s * Math.exp(year);
        const faster = Math.exp(1.2816 * calendar.spread(ahead_d * day_s));
        const [early, late] = [faster, 1 / faster].map((by) => calendar.timeUntil_s(added_s / by) / day_s);
        inside += Number(early! <= ahead_d && ahead_d <= late!);
      }
      expect(inside / cases).toBeGreaterThan(0.72);
      expect(inside / cases).toBeLessThan(0.88);
    },
  );

  it('knows a season that it has seen better than one that it has not', () => {
    const half = calendarOf(182.625, () => 1);
    expect(half.spread(150 * day_s)).toBeGreaterThan(1.5 * calendarOf(350, () => 1).spread(150 * day_s));
  });

  it('goes by the speed seen where that did not change', () => {
    const calendar = calendarOf(100, () => 1.5);
    expect(calendar.meanRate).toBeCloseTo(1.5, 9);
    expect(calendar.timeUntil_s(300 * day_s) / day_s).toBeCloseTo(200, 6);
  });

  it('gives the time of an amount by the season to come: the integral of 1 + cos / 2', () => {
    const calendar = calendarOf(730, (t) => 1 + 0.5 * Math.cos(omega * t));
    const from_s = 730 * day_s;
    for (const ahead_d of [20, 100, 200, 365.25, 900]) {
      const to_s = from_s + ahead_d * day_s;
      const added_s = to_s - from_s + (0.5 / omega) * (Math.sin(omega * to_s) - Math.sin(omega * from_s));
      expect(calendar.timeUntil_s(added_s) / day_s).toBeCloseTo(ahead_d, 0);
    }
    expect(calendar.meanRate).toBeCloseTo(1, 4);
    expect(calendar.timeUntil_s(0)).toBe(0);
    expect(calendar.timeUntil_s(-1)).toBe(0);
  });

  it('lets a month that is 20 % off average out over the months ahead, the year staying 5 % uncertain', () => {
    // Months of 30 days, by turns 20 % over and under: 13 of them, of which the mean and the harmonic take three.
    const calendar = calendarOf(390, (t) => (Math.floor(t / (30 * day_s)) % 2 ? 0.8 : 1.2));
    const month = 0.2 * Math.sqrt(13 / 10);
    for (const months of [1, 4, 16])
      expect(calendar.spread(months * 30 * day_s) / Math.hypot(0.05, month / Math.sqrt(months))).toBeCloseTo(
        1,
        1,
      );
    // Within days, no more than six months' worth of weather to the power of a half.
    expect(calendar.spread(0)).toBe(calendar.spread(5 * day_s));
    expect(calendar.spread(5 * day_s)).toBeGreaterThan(calendar.spread(6 * day_s));
  });

  it('leaves the 5 % alone where every month went as the harmonic', () => {
    const calendar = calendarOf(730, (t) => 1 + 0.5 * Math.cos(omega * t));
    expect(calendar.spread(30 * day_s)).toBeCloseTo(0.05, 3);
  });

  it('goes by how far months were off from 98 % of a year and 24 tests on', () => {
    // Months by turns 20 % over and under are seen as such only then; before, 15 % are usual.
    const uneven = (t: number) => (Math.floor(t / (30 * day_s)) % 2 ? 0.8 : 1.2);
    expect(calendarOf(357, uneven).spread(30 * day_s)).toBeLessThan(0.2);
    expect(calendarOf(359, uneven).spread(30 * day_s)).toBeGreaterThan(0.2);
    const few = (tests: number) => {
      const time_s = filled(tests, (i) => (i * 380 * day_s) / (tests - 1));
      const rates = filled(tests, (i) => uneven(time_s[i]!));
      return ageingCalendar(time_s, weightedAge(time_s, rates), rates, seasonsOf(time_s)).spread(30 * day_s);
    };
    expect(few(23)).toBeLessThan(0.2);
    expect(few(24)).toBeGreaterThan(0.2);
  });

  it('takes a month as 15 % uncertain where three months or fewer had tests', () => {
    const days = [...Array(15).keys(), ...Array.from({ length: 15 }, (_, i) => 365 + i)];
    const time_s = Float64Array.from(days, (day) => day * day_s);
    const rates = new Float64Array(30).fill(1);
    const calendar = ageingCalendar(time_s, weightedAge(time_s, rates), rates, seasonsOf(time_s));
    expect(calendar.spread(30 * day_s)).toBeCloseTo(Math.hypot(0.05, 0.15), 6);
    expect(calendar.spread(120 * day_s)).toBeCloseTo(Math.hypot(0.05, 0.15 / 2), 6);
  });

  it('lets no season come nearer to standstill than a tenth of the mean', () => {
    // The harmonic of 1 + 1.5 cos is held to 1 + 0.9 cos, of which the integral is known.
    const calendar = calendarOf(730, (t) => 1 + 1.5 * Math.cos(omega * t));
    const from_s = 730 * day_s;
    for (const ahead_d of [100, 180, 250]) {
      const to_s = from_s + ahead_d * day_s;
      const added_s = to_s - from_s + (0.9 / omega) * (Math.sin(omega * to_s) - Math.sin(omega * from_s));
      expect(calendar.timeUntil_s(added_s) / day_s).toBeCloseTo(ahead_d, 0);
    }
  });

  it('counts by the clock, 35 % uncertain, from a single test', () => {
    const one = ageingCalendar([0], [0], new Float64Array([2]), seasonsOf([0]));
    expect(one.timeUntil_s(5)).toBe(5);
    expect(one.spread(day_s)).toBe(0.35);
  });
});
