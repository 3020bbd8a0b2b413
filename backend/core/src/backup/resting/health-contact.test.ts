import { describe, expect, it } from 'vitest';
import { assessHealth } from './health-contact.js';
import type { ReserveNow } from '../reserve/index.js';
import { day_s, module, readings, start_s } from '../sample-modules.js';

const unknown: ReserveNow = { state: 'unknown', reason: { text: '', quantities: {} } };
/** One discharge a day at noon. */
const noons = (days: number) => Array.from({ length: days }, (_, day) => start_s + day * day_s + day_s / 2);
const days = 14;
const assess = (
  change: Parameters<typeof readings>[2],
  {
    dischargedAt_s = noons(days),
    reserve = unknown,
  }: { dischargedAt_s?: number[]; reserve?: ReserveNow } = {},
) =>
  assessHealth({
    module,
    readings: readings(start_s, days * 1440, change),
    dischargedAt_s,
    reserve,
    unableReserve: 1,
  });
const followed = (time_s: number, untilDay = days) =>
  noons(untilDay).some((noon) => time_s >= noon && time_s < noon + 90);

function reserveOf(value: number, spread: number): ReserveNow {
  const shared = { temperature_K: 298.15, opening_pct: 100, voltage_V: 20, capacitance_F: 1, esr_Ohm: 0.5 };
  return {
    state: 'known',
    cases: [
      {
        situation: 'fully-open-now',
        reserve: value,
        interval: { p10: value - spread, p90: value + spread },
        usableEnergy_J: 44 * value,
        closingEnergy_J: 44,
        ...shared,
      },
    ],
    closings: 14,
    lastClosing_s: start_s + 13.5 * day_s,
    esrFrom: 'measured',
    basedOn: [],
  };
}

describe('a health contact', () => {
  it('that reads good all the time on a module that is evidently good is good', () => {
    expect(assess(() => ({}))).toEqual({ state: 'good', since_s: start_s, sign: null });
    expect(assess(() => ({}), { reserve: reserveOf(3, 0.1) }).state).toBe('good');
  });

  it('that opens at each discharge is good', () => {
    expect(assess((_, t) => (followed(t) ? { health: 0 } : {})).state).toBe('good');
  });

  it('that has read fault for ten minutes is a fault, since the first of them', () => {
    const from_s = start_s + 13 * day_s;
    expect(assess((_, t) => (t >= from_s ? { health: 0 } : {}))).toEqual({
      state: 'fault',
      since_s: from_s,
      sign: null,
    });
    const lasts = (minutes: number) =>
      assess((minute) => (minute >= days * 1440 - 1 - minutes ? { health: 0 } : {})).state;
    expect([lasts(9), lasts(10)]).toEqual(['good', 'fault']);
    const last_s = start_s + 60 * (days * 1440 - 5);
    expect(assess((_, t) => (t >= last_s ? { health: 0 } : {})).state).toBe('good');
  });

  it('that read good under the minimum voltage is stuck', () => {
    const low = (minute: number) => minute >= 5000 && minute < 5030;
    expect(assess((i) => (low(i) ? { voltage_V: 7 } : {}))).toMatchObject({
      state: 'stuck',
      sign: 'good-under-minimum-voltage',
      since_s: start_s + 60 * 5004,
    });
    expect(assess((i) => (low(i) ? { voltage_V: 7, health: 0 } : {})).state).toBe('good');
    expect(assess((i) => (i >= 5000 && i < 5004 ? { voltage_V: 7 } : {})).state).toBe('good');
  });

  it('that reads good while the module surely cannot close its valve is stuck', () => {
    expect(assess(() => ({}), { reserve: reserveOf(0.8, 0.1) })).toMatchObject({
      state: 'stuck',
      sign: 'good-without-reserve',
    });
    expect(assess(() => ({}), { reserve: reserveOf(0.95, 0.1) }).state).toBe('good');
  });

  it('that used to open at each discharge and has not at the last five is stuck since the first of them', () => {
    expect(assess((_, t) => (followed(t, 9) ? { health: 0 } : {}))).toEqual({
      state: 'stuck',
      sign: 'no-longer-follows',
      since_s: noons(10)[9],
    });
    expect(assess((_, t) => (followed(t, 10) ? { health: 0 } : {})).state).toBe('good');
  });

  it('follows a discharge where it opens within three minutes of its start', () => {
    const opensAfter = (seconds: number) =>
      assess((_, t) =>
        followed(t, 9) || noons(days).some((noon, k) => k >= 9 && t === noon + seconds) ? { health: 0 } : {},
      ).state;
    expect([opensAfter(120), opensAfter(180), opensAfter(240)]).toEqual(['good', 'good', 'stuck']);
  });

  it('is not called stuck for discharges after which nothing was read', () => {
    const quietAfter = noons(9)[8]! + 3600;
    const gaps = (time_s: number) => time_s > quietAfter && followed(time_s);
    expect(assess((_, t) => (gaps(t) ? { health: NaN } : followed(t) ? { health: 0 } : {})).state).toBe(
      'good',
    );
  });

  it('is unknown where it was never sent', () => {
    expect(assess(() => ({ health: NaN }))).toEqual({ state: 'unknown', since_s: null, sign: null });
  });
});
