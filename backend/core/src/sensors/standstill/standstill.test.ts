import { describe, expect, it } from 'vitest';
import { saturationPressure } from '../../refrigerants/index.js';
import { emptyCircuitSeries, type CircuitSeries } from '../../telemetry/circuit-series.js';
import { settledStandstills } from './standstill.js';

const T = 293.15;
const at = (temperature_K: number) => saturationPressure('R134a', temperature_K, 'dew');
type Column = Exclude<keyof CircuitSeries, 'time_s'>;

const resting = {
  suctionPressure_Pa: at(T),
  dischargePressure_Pa: at(T),
  suctionTemperature_K: T,
  dischargeTemperature_K: T,
  liquidTemperature_K: T,
  enteringWaterTemperature_K: T,
  leavingWaterTemperature_K: T,
  ambientTemperature_K: T,
  waterFlow_m3_s: 0,
};
const running = { ...resting, suctionPressure_Pa: at(275), dischargePressure_Pa: at(313) };

/** A sample a minute: runs for an hour, then stands for four; `change` by the minute since the stop. */
function standstills(
  change: (minute: number) => Partial<Record<Column, number>> = () => ({}),
  { stands_min = 240, every_min = 1 } = {},
) {
  const n = Math.floor((60 + stands_min) / every_min);
  const series = emptyCircuitSeries(n);
  for (let i = 0; i < n; i++) {
    const minute = i * every_min - 60;
    series.time_s[i] = 60 * (minute + 60);
    const row = {
      ...(minute < 0 ? running : resting),
      compressorLoad_pct: minute < 0 ? 80 : 0,
      ...change(minute),
    };
    for (const [name, value] of Object.entries(row)) series[name as Column][i] = value;
  }
  return settledStandstills('R134a', series);
}

describe('the calmest half hour of a stop', () => {
  it('has the median of each instrument in it, and whether the pump runs', () => {
    const odd = { suctionTemperature_K: 285, liquidTemperature_K: 300, ambientTemperature_K: 290 };
    const water = { enteringWaterTemperature_K: 286, leavingWaterTemperature_K: 284 };
    const [seen] = standstills((minute) =>
      minute < 0
        ? {}
        : minute % 5 === 0
          ? { suctionTemperature_K: 250, waterFlow_m3_s: 0 }
          : { ...odd, ...water, dischargeTemperature_K: 295, waterFlow_m3_s: 0.01 },
    );
    expect(seen).toMatchObject({
      ...odd,
      ...water,
      dischargeTemperature_K: 295,
      pumpRunning: true,
      suctionPressure_Pa: at(T),
      dischargePressure_Pa: at(T),
    });
    expect(standstills()[0]!.pumpRunning).toBe(false);
  });

  it('is the first of several as calm, an hour after the stop', () => {
    const [seen] = standstills();
    expect([seen!.stoodFor_s, seen!.from_s, seen!.to_s]).toEqual([3600, 7200, 7200 + 29 * 60]);
  });

  it('begins at steps of ten minutes', () => {
    // Warms by 3 K/h until two hours after the stop: half hours from there on are calm.
    const [seen] = standstills((minute) =>
      minute < 0 ? {} : { suctionTemperature_K: T - Math.max(0, 120 - minute) / 20 },
    );
    // Thirds of ten minutes: the first may end its drift in the first five without moving its median.
    expect([6600, 7200]).toContain(seen!.stoodFor_s);
  });

  it('needs twelve samples', () => {
    // One in 2.5 minutes: twelve in half an hour; one in 3 minutes: ten.
    expect(standstills(() => ({}), { every_min: 2.5 })).toHaveLength(1);
    expect(standstills(() => ({}), { every_min: 3 })).toHaveLength(0);
  });
});

describe('the drift of a stop', () => {
  /** K/h of one instrument from the stop on. */
  const drift = (change: (hours: number) => Partial<Record<Column, number>>) =>
    standstills((minute) => (minute < 0 ? {} : change(minute / 60)))[0]?.drift_K_h ?? null;

  it('is that of the fastest: medians of the first and last third over the twenty minutes between them', () => {
    for (const rate of [0.3, -0.6]) {
      expect(drift((h) => ({ suctionTemperature_K: T + rate * h }))).toBeCloseTo(Math.abs(rate), 1);
      expect(drift((h) => ({ dischargeTemperature_K: T + rate * h }))).toBeCloseTo(Math.abs(rate), 1);
      expect(drift((h) => ({ suctionPressure_Pa: at(T + rate * h) }))).toBeCloseTo(Math.abs(rate), 1);
      expect(drift((h) => ({ dischargePressure_Pa: at(T + rate * h) }))).toBeCloseTo(Math.abs(rate), 1);
    }
    expect(
      drift((h) => ({ suctionTemperature_K: T + 0.3 * h, dischargeTemperature_K: T - 0.6 * h })),
    ).toBeCloseTo(0.6, 1);
  });

  it('counts half for the ambient, which the circuit follows late, and not for water or liquid', () => {
    expect(drift((h) => ({ ambientTemperature_K: T + 1.2 * h }))).toBeCloseTo(0.6, 1);
    expect(drift((h) => ({ ambientTemperature_K: T + 2 * h }))).toBeNull();
    expect(drift((h) => ({ liquidTemperature_K: T + 2 * h, leavingWaterTemperature_K: T + 2 * h }))).toBe(0);
  });

  it('is not known, and counts as none, for an instrument that sends nothing', () => {
    expect(drift(() => ({ suctionTemperature_K: NaN, ambientTemperature_K: NaN }))).toBe(0);
  });
});

describe('an evaporator that was emptied before the stop', () => {
  const suctionAfter = (before: (minute: number) => number, after_Pa: number) =>
    standstills((minute) => ({ suctionPressure_Pa: minute < 0 ? before(minute) : after_Pa }))[0]!
      .suctionPressure_Pa;

  it('is seen by a pressure at or under the one of the last half hour of running, and has none to compare', () => {
    expect(suctionAfter(() => 3e5, 3e5)).toBeNaN();
    expect(suctionAfter(() => 3e5, 2.5e5)).toBeNaN();
    expect(suctionAfter(() => 3e5, 3.1e5)).toBe(3.1e5);
    // Half an hour is thirty samples; what ran before it does not count.
    expect(suctionAfter((minute) => (minute >= -30 ? 3e5 : 5e5), 4e5)).toBe(4e5);
    expect(suctionAfter((minute) => (minute >= -14 ? 3e5 : 5e5), 4e5)).toBeNaN();
  });

  it('is not known of with under twelve samples of running', () => {
    const known = (samples: number) => suctionAfter((minute) => (minute >= -samples ? 5e5 : NaN), 4e5);
    expect(known(12)).toBeNaN();
    expect(known(11)).toBe(4e5);
  });

  it('is none of an hour in which all is sent in tenths, nor crossed by it', () => {
    const tenth = (kelvin: number) => 273.15 + (kelvin - 273.15) / 10;
    const tenths = {
      suctionPressure_Pa: at(T) / 10,
      dischargePressure_Pa: at(T) / 10,
      suctionTemperature_K: tenth(T),
      dischargeTemperature_K: tenth(T),
      liquidTemperature_K: tenth(T),
    };
    const change = (minute: number) =>
      minute >= 120 && minute < 180
        ? tenths
        : minute >= 0
          ? { ambientTemperature_K: T + 0.001 * minute }
          : {};
    const seen = standstills(change, { stands_min: 300 });
    expect(seen.map(({ suctionTemperature_K }) => suctionTemperature_K)).toEqual([T, T]);
    expect(seen.map(({ stoodFor_s }) => stoodFor_s / 60)).toEqual([60, 180]);
    // One instrument alone that jumps is that instrument's, and no pump's start is a jump of the circuit.
    const alone = (minute: number) => (minute >= 120 ? { suctionTemperature_K: T + 6 } : {});
    expect(standstills(alone)).toHaveLength(1);
    const pump = (minute: number) =>
      minute >= 120 ? { enteringWaterTemperature_K: T - 9, leavingWaterTemperature_K: T - 9 } : {};
    expect(standstills(pump)).toHaveLength(1);
  });
});
