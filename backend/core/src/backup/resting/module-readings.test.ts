import { describe, expect, it } from 'vitest';
import { BackupInputError } from '../errors.js';
import { findPowerLosses, openCircuitDecay, restingFigures } from './module-readings.js';
import { noReadings, readings, start_s } from '../sample-modules.js';

const minute = (i: number) => start_s + 60 * i;
const goneWithin =
  (...spans: [number, number][]) =>
  (i: number) =>
    spans.some(([from, to]) => i >= from && i < to) ? { mains: 0 } : {};

describe('losses of mains', () => {
  it('are the stretches in which the contact read 0, each ending at the first 1', () => {
    expect(findPowerLosses(readings(start_s, 100, goneWithin([10, 20], [50, 55])))).toEqual([
      { from_s: minute(10), to_s: minute(20) },
      { from_s: minute(50), to_s: minute(55) },
    ]);
  });

  it('have no end while the mains are still gone', () => {
    expect(findPowerLosses(readings(start_s, 100, goneWithin([90, 100])))).toEqual([
      { from_s: minute(90), to_s: null },
    ]);
  });

  it('are one where the mains came back for under two minutes', () => {
    const chatter = readings(start_s, 100, goneWithin([10, 20], [21, 30]));
    expect(findPowerLosses(chatter)).toEqual([{ from_s: minute(10), to_s: minute(30) }]);
  });

  it('neither begin nor end at a reading without the contact', () => {
    const holes = readings(start_s, 40, (i) => (i % 3 === 1 ? { mains: NaN } : goneWithin([9, 21])(i)));
    expect(findPowerLosses(holes)).toEqual([{ from_s: minute(9), to_s: minute(21) }]);
    expect(findPowerLosses(readings(start_s, 9, () => ({ mains: NaN })))).toEqual([]);
    expect(findPowerLosses(noReadings)).toEqual([]);
  });

  it('are refused from columns of unequal length', () => {
    expect(() => findPowerLosses({ ...readings(start_s, 9), mains: new Float64Array(3) })).toThrow(
      BackupInputError,
    );
  });
});

describe('a module at rest', () => {
  it('is read on mains only, and not in the hour of recharging after a loss', () => {
    const figures = restingFigures(
      readings(start_s, 1440, (i) => {
        if (i >= 300 && i < 330) return { mains: 0, voltage_V: 12, current_A: 0 };
        return i >= 330 && i < 389
          ? { voltage_V: 15, current_A: -0.3 }
          : { temperature_K: i < 700 ? 290 : 300 };
      }),
      minute(1440),
    );
    expect(figures.chargedVoltage_V).toBe(20);
    expect(figures.floatCurrent_A).toBeCloseTo(0.0002, 9);
    expect(figures.mainsSince_s).toBe(minute(330));
    expect(figures.lowestTemperature_K).toBe(290);
    expect(figures.temperatureNow_K).toBe(300);
  });

  it('is unknown without readings', () => {
    expect(restingFigures(noReadings, start_s)).toMatchObject({
      chargedVoltage_V: null,
      floatCurrent_A: null,
      lowestTemperature_K: null,
      temperatureNow_K: null,
    });
  });
});

describe('the fall of voltage with the mains gone', () => {
  it('is its slope from ten minutes after the loss on: 1 mV a minute is 16.7 uV/s', () => {
    const lost = readings(start_s, 200, (i) =>
      i >= 20 && i < 140 ? { mains: 0, current_A: 0, voltage_V: 18 - 0.001 * (i - 20) } : {},
    );
    const decay = openCircuitDecay(lost, findPowerLosses(lost))!;
    expect(decay.rate_V_s).toBeCloseTo(0.001 / 60, 9);
    expect(decay.early_V_s).toBeCloseTo(decay.late_V_s, 9);
    expect(decay.drawn_A).toBe(0);
    expect(decay.duration_s).toBe(109 * 60);
  });

  it('is not given for a loss under half an hour', () => {
    const short = readings(start_s, 100, goneWithin([20, 45]));
    expect(openCircuitDecay(short, findPowerLosses(short))).toBeNull();
  });
});
