import { describe, expect, it } from 'vitest';
import { simulateCircuit } from '../simulate-circuit.js';
import { strengthAt, type Fault } from './fault.js';
import { faultLevels, severities } from './levels.js';

const day_s = 86_400;

describe('faults', () => {
  it('begin at once, or grow evenly from nothing', () => {
    const sudden: Fault = { kind: 'overcharge', share: 0.2, sinceDaysAgo: 4 };
    const slow: Fault = { ...sudden, growsOverDays: 2 };
    const now_s = 100 * day_s;
    const at = (fault: Fault, daysAgo: number) => strengthAt(fault, now_s - daysAgo * day_s, now_s);
    expect([5, 3.9, 0].map((daysAgo) => at(sudden, daysAgo))).toEqual([0, 1, 1]);
    expect([5, 4, 3, 2, 0].map((daysAgo) => at(slow, daysAgo))).toEqual([0, 0, 0.5, 1, 1]);
  });

  it('are of one kind at all three severities, each with where it comes from', () => {
    for (const { levels, source } of faultLevels) {
      expect(new Set(severities.map((severity) => levels[severity].kind)).size).toBe(1);
      expect(source).not.toBe('');
    }
    expect(new Set(faultLevels.map(({ name }) => name)).size).toBe(faultLevels.length);
  });

  it('let the high side of a standing circuit lose its pressure sooner where the shut valve leaks by', () => {
    const dayWithStop = {
      seed: 3,
      days: 0.5,
      selfTest: false,
      stand: { kind: 'daily-rest', from_h: 6, hours: 3 },
    } as const;
    const afterHalfHour = 6.5 * 360;
    const ratio = (share: number) => {
      const { series } = simulateCircuit({ ...dayWithStop, faults: [{ kind: 'valve-leaks-by', share }] });
      return series.dischargePressure_Pa[afterHalfHour] / series.suctionPressure_Pa[afterHalfHour];
    };
    const [tight, slight, heavy] = [0, 0.005, 0.04].map(ratio);
    expect(slight).toBeLessThan(tight - 0.01);
    expect(heavy).toBeLessThan(slight - 0.05);
  });

  it("show each circuit the other's sensor where two are swapped", () => {
    const two = { seed: 5, days: 0.4, stand: null, circuits: 2, capacityControl: 'stages' } as const;
    const plain = simulateCircuit(two);
    const swapped = simulateCircuit({
      ...two,
      faults: [{ kind: 'sensors-swapped-between-circuits', sensor: 'discharge-temperature' }],
    });
    const at = 0.35 * 8640;
    const own = plain.series.dischargeTemperature_K[at];
    const other = plain.neighbours[0].dischargeTemperature_K[at];
    expect(Math.abs(own - other)).toBeGreaterThan(1);
    expect(Math.abs(swapped.series.dischargeTemperature_K[at] - other)).toBeLessThan(0.8);
    expect(Math.abs(swapped.neighbours[0].dischargeTemperature_K[at] - own)).toBeLessThan(0.8);
  });

  it('let a clock run ahead by what it drifts a day, against the water of the time that it claims', () => {
    const plain = simulateCircuit({ seed: 6, days: 2 });
    const drifting = simulateCircuit({
      seed: 6,
      days: 2,
      faults: [{ kind: 'clock-drift', perDay_s: 600, sinceDaysAgo: 2 }],
    });
    const last = plain.series.time_s.length - 1;
    expect(drifting.series.time_s[last] - plain.series.time_s[last]).toBeCloseTo(1200, -1);
    const row = 1.5 * 8640;
    const claimed = row + Math.round((drifting.series.time_s[row] - plain.series.time_s[row]) / 10);
    expect(claimed - row).toBe(90);
    expect(drifting.series.suctionTemperature_K[row]).toBe(plain.series.suctionTemperature_K[row]);
    expect(drifting.series.enteringWaterTemperature_K[row]).toBe(
      plain.series.enteringWaterTemperature_K[claimed],
    );
  });

  it('leave out the columns that a site does not have', () => {
    const { series } = simulateCircuit({ seed: 7, days: 0.1, notSent: ['compressorPower_W'] });
    expect(series.compressorPower_W.every(Number.isNaN)).toBe(true);
    expect(series.condenserFlow_m3_s.every(Number.isFinite)).toBe(true);
  });
});
