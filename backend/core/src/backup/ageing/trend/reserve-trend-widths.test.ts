import { describe, expect, it } from 'vitest';
import { filled, quantileSorted } from '../../../numerics/index.js';
import { reserveTrend, type TrendInput } from './reserve-trend.js';

const day_s = 86_400;
const tests = 20;
const coldest_K = 285;
/** P10 to P90 of a normal distribution, in standard deviations. */
const p10To90 = 2 * 1.2816;

/**
 * Twenty tests that lie exactly where they should, ten days apart and too few to be joined, of a module whose life does
 * not depend on temperature: all that is unsure is what is put in as unsure.
 */
const trendOf = (capacitance_F: (i: number) => number, changed: Partial<TrendInput> = {}) =>
  reserveTrend({
    time_s: filled(tests, (i) => 10 * day_s * i),
    temperature_K: new Float64Array(tests).fill(coldest_K),
    capacitance_F: filled(tests, capacitance_F),
    coldest_K,
    perK: 0.001,
    scatter: 0.01,
    step: null,
    now_s: 10 * day_s * (tests - 1),
    lifeDoubling_K: 1e6,
    limits_F: [[0.5]],
    draws: 20_000,
    seed: 1,
    ...changed,
  })!;

describe('the uncertainty of the present level', () => {
  it('is zero where nothing scatters', () => {
    const { level_F, levelSpread_F } = trendOf(() => 1);
    expect(level_F).toBeCloseTo(1, 9);
    expect(levelSpread_F).toBeLessThan(1e-9);
  });

  it('is the warmth now times the uncertainty of the temperature law', () => {
    // It warms in a straight line by 19 K over the tests. Any line through the tests follows that exactly, so the tests
    // cannot tell the law: its prior stays, 0.001 per K (common practice, no source).
    const warming = trendOf(() => 1, { temperature_K: filled(tests, (i) => coldest_K + i) });
    expect(Math.abs(warming.levelSpread_F / (19 * 0.001) - 1)).toBeLessThan(0.03);
  });

  it('is less where warm and cold days alternate: scatter over the root of the squares, and the prior', () => {
    // +-10 K by turns: at right angles to every line but for 6 parts in a thousand. One over variance: of the prior,
    // and of 20 tests of 1 % that are 10 K off. Leverage of the last test's place: 1/20 + 9.5^2 / 665.
    const law = 1 / Math.sqrt(1 / 0.001 ** 2 + (20 * 10 ** 2) / 0.01 ** 2);
    const swinging = trendOf(() => 1, { temperature_K: filled(tests, (i) => coldest_K + (i % 2 ? 20 : 0)) });
    // On the line, now: the mean, 10 K, and 9.5 places of the small slope that +-10 K by turns have, 100 / 665.
    const warmerNow = 10 + (9.5 * 100) / 665;
    expect(Math.abs(swinging.levelSpread_F / (warmerNow * law) - 1)).toBeLessThan(0.05);
  });

  it('is the uncertainty of a corrected step, by the weight of the tests before it', () => {
    // Ordinary least squares: the value of the line at the last of 20 places weighs test i by
    // 1/20 + 9.5 (i - 9.5) / 665; of the first ten that is 0.5 - 9.5 * 50 / 665 = -0.214.
    const weight = Math.abs(0.5 - (9.5 * 50) / 665);
    const stepped = trendOf(() => 1, { step: { index: 10, uncertainty: 0.05 } });
    // The few models with a change of pace weigh them less; their weights add up to less than an eighth.
    expect(stepped.levelSpread_F / (weight * 0.05)).toBeGreaterThan(0.85);
    expect(stepped.levelSpread_F / (weight * 0.05)).toBeLessThan(1.03);
  });
});

describe('the uncertainty of a date', () => {
  /** ln of P90 over P10 of the time until 2 % less than now. */
  const width = (changed: Partial<TrendInput> = {}) => {
    const fall = (i: number) => 1 - 0.002 * i;
    const { timeUntil_s } = trendOf(fall, { limits_F: [[0.98 * fall(tests - 1)]], ...changed });
    const [until] = timeUntil_s;
    return Math.log(quantileSorted(until, 0.9) / quantileSorted(until, 0.1));
  };

  it('is at least that of the seasons: 190 days seen, 5 % and 30 % of the rest of the year', () => {
    const season = 0.05 + 0.3 * (1 - 190 / 365.25);
    expect(width() / (p10To90 * season)).toBeGreaterThan(0.97);
    expect(width() / (p10To90 * season)).toBeLessThan(1.15);
  });
});

describe('which tests are joined', () => {
  /** Tests ten days apart on a straight fall that is plain against their scatter. */
  const fallOf = (count: number, capacitance_F: (i: number) => number, changed: Partial<TrendInput> = {}) =>
    trendOf(() => 1, {
      time_s: filled(count, (i) => 10 * day_s * i),
      temperature_K: new Float64Array(count).fill(coldest_K),
      capacitance_F: filled(count, capacitance_F),
      scatter: 1e-4,
      now_s: 10 * day_s * (count - 1),
      draws: 500,
      ...changed,
    });
  const straight = (i: number) => 1 - 0.002 * i;

  it('takes six medians at least', () => {
    expect(fallOf(5, straight)).toBeNull();
    expect(fallOf(6, straight)).not.toBeNull();
  });

  it('joins 41 tests by threes, the last ones whole, and dates a change of pace by the first of its three', () => {
    // Bins of tests 2-4, 5-7 and so on; the pace changes at the middle of the eighth, tests 23 to 25.
    const kinked = (i: number) => 1 - 0.002 * i - 0.01 * Math.max(0, i - 24);
    expect(fallOf(41, kinked).paceChange).toEqual({ at_s: 10 * day_s * 23, faster: true });
  });

  it('has the level as of now, by the pace until now', () => {
    const last = straight(tests - 1);
    const at = (after_d: number) =>
      fallOf(tests, straight, { now_s: day_s * (10 * (tests - 1) + after_d) }).level_F;
    expect(at(0)).toBeCloseTo(last, 3);
    expect(at(365)).toBeCloseTo(last - 0.002 * 36.5, 3);
    // A clock that lies before the last test is not believed.
    expect(at(-100)).toBeCloseTo(last, 3);
  });
});
