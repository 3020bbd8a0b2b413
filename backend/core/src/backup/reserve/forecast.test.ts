import { describe, expect, it } from 'vitest';
import { filled } from '../../numerics/index.js';
import type { Trend } from '../ageing/index.js';
import { defaultBackupSettings } from '../settings.js';
import { forecastFrom, type RefusalReason } from './forecast.js';

const day_s = 86_400;
const now_s = Date.UTC(2026, 0, 1) / 1000;

/** Draws spread evenly from 0.9 to 1.1 of so many days: P10, P50 and P90 at 0.92, 1 and 1.08 of them. */
const around = (days: number) => filled(101, (i) => days * day_s * (0.9 + 0.002 * i));

const trendWith = (days: number, changed: Partial<Trend> = {}): Trend => ({
  level_F: 1,
  levelSpread_F: 0.01,
  perK: 0.001,
  lossPerYear: filled(101, (i) => 0.05 + 0.001 * i),
  notFalling: 0,
  timeUntil_s: [around(days), around(2 * days)],
  paceChange: null,
  ...changed,
});

const context = {
  tests: 60,
  span_s: 60 * day_s,
  seen_s: 60 * day_s,
  afterStep: false,
  temperaturesKnown: 60,
  allTests: 60,
  now_s,
};
const forecast = (trend: Trend | null, changed: Partial<typeof context> = {}) =>
  forecastFrom(trend, { ...context, ...changed }, defaultBackupSettings);
const refusal = (...of: Parameters<typeof forecast>): RefusalReason | null => {
  const said = forecast(...of);
  return said.state === 'refused' ? said.reason : null;
};

describe('a forecast', () => {
  it('gives P10, P50 and P90 of the draws as dates', () => {
    const said = forecast(trendWith(100));
    if (said.state !== 'forecast') throw new Error(said.reason);
    const days = Object.values(said.limits[0]!.date_s!).map((date_s) => (date_s - now_s) / day_s);
    expect(days.map((value) => value.toFixed(6))).toEqual(['92.000000', '100.000000', '108.000000']);
    expect(said.lossPerYear).toEqual({
      p10: expect.closeTo(0.06, 9),
      p50: expect.closeTo(0.1, 9),
      p90: expect.closeTo(0.14, 9),
    });
    expect(said.limits.map(({ limit, state, openEnded }) => [limit, state, openEnded])).toEqual([
      [1.5, 'forecast', false],
      [1, 'forecast', false],
    ]);
  });

  it('reaches five times as far ahead as the tests reach back, and no further', () => {
    // 60 days seen: 300 days.
    const horizonOf = (said: ReturnType<typeof forecast>) =>
      said.state === 'forecast' ? (said.horizon_s - now_s) / day_s : null;
    expect(horizonOf(forecast(trendWith(100)))).toBeCloseTo(300, 9);
    expect(forecast(trendWith(299))).toMatchObject({
      limits: [{ state: 'forecast' }, { state: 'beyond-horizon', date_s: null }],
    });
    expect(refusal(trendWith(301))).toBe('beyond-horizon');
    // From 730 days on, ten years are the bound.
    expect(horizonOf(forecast(trendWith(100), { seen_s: 2000 * day_s }))).toBeCloseTo(3650, 9);
  });

  it('gives a P90 beyond the horizon as the horizon, marked as open-ended', () => {
    const said = forecast(trendWith(290));
    if (said.state !== 'forecast') throw new Error(said.reason);
    expect(said.limits[0]!.openEnded).toBe(true);
    expect((said.limits[0]!.date_s!.p90 - now_s) / day_s).toBeCloseTo(300, 9);
    expect((said.limits[0]!.date_s!.p10 - now_s) / day_s).toBeCloseTo(0.92 * 290, 9);
  });

  it('gives no date for a limit that is already passed', () => {
    const passed = trendWith(100, { timeUntil_s: [new Float64Array(101), around(100)] });
    expect(forecast(passed)).toMatchObject({
      limits: [{ state: 'already-under', date_s: null, openEnded: false }, { state: 'forecast' }],
    });
  });

  it('is refused where more than 2.5 % of the draws do not fall', () => {
    expect(refusal(trendWith(100, { notFalling: 0.025 }))).toBeNull();
    expect(refusal(trendWith(100, { notFalling: 0.026 }))).toBe('slope-not-distinguishable');
  });

  it('is refused under 8 tests, under 45 days, and where fewer than half of the tests have a temperature', () => {
    expect(refusal(trendWith(100), { tests: 7 })).toBe('too-few-tests');
    expect(refusal(trendWith(100), { tests: 8 })).toBeNull();
    expect(refusal(null)).toBe('too-few-tests');
    expect(refusal(trendWith(100), { span_s: 44.9 * day_s })).toBe('too-short-a-time');
    expect(refusal(trendWith(100), { span_s: 45 * day_s })).toBeNull();
    expect(refusal(trendWith(100), { temperaturesKnown: 29 })).toBe('no-temperature');
    expect(refusal(trendWith(100), { temperaturesKnown: 30 })).toBeNull();
    expect(refusal(trendWith(100), { tests: 7, afterStep: true })).toBe('changed-suddenly');
    expect(refusal(trendWith(100), { span_s: 44 * day_s, afterStep: true })).toBe('changed-suddenly');
  });

  it('says that the pace changed, and whether faster or slower', () => {
    const sentences = (faster: boolean) => {
      const said = forecast(trendWith(100, { paceChange: { at_s: now_s - 30 * day_s, faster } }));
      return said.state === 'forecast' ? said.basedOn.map(({ text }) => text).join(' ') : '';
    };
    expect(sentences(true)).toMatch(/faster/);
    expect(sentences(false)).toMatch(/slowly/);
  });
});
