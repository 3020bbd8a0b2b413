import { describe, expect, it } from 'vitest';
import { saturationTemperature } from '@coldrounds/core/refrigerants';
import { simulateCircuit } from './simulate-circuit.js';

const plain = { days: 0.5, stand: null, selfTest: false } as const;

describe('habits of sites', () => {
  it('a flooded evaporator holds its water and sends its vapour off at 1 to 3 K, without liquid', () => {
    const { series, truth, unit } = simulateCircuit({ seed: 1, ...plain, design: { evaporator: 'flooded' } });
    expect(unit.evaporator).toBe('flooded');
    const settled = Array.from(truth.superheat_K.slice(1000)).sort((a, b) => a - b);
    expect(settled[Math.floor(0.02 * settled.length)]).toBeGreaterThan(0.7);
    expect(settled[Math.floor(0.98 * settled.length)]).toBeLessThan(3);
    expect(Math.max(...truth.liquidCarry_kg_s.slice(1000))).toBe(0);
    expect(series.superheatSetpoint_K.every(Number.isNaN)).toBe(true);
  });

  it('a pump-down leaves the suction side far under saturation until the next start', () => {
    const { series } = simulateCircuit({
      seed: 1,
      days: 1,
      selfTest: false,
      stand: { kind: 'daily-rest', from_h: 12, hours: 3 },
      habits: { pumpDown: true },
    });
    const at = Math.round(13.5 * 360);
    const saturation_K = saturationTemperature('R134a', series.suctionPressure_Pa[at], 'dew');
    expect(saturation_K).toBeLessThan(series.enteringWaterTemperature_K[at] - 15);
  });

  it('a reversed unit warms its water, and its suction port sees discharge gas', () => {
    const { series } = simulateCircuit({
      seed: 1,
      ...plain,
      habits: { reversed: { from_h: 2, hours: 8, sensors: 'both-at-port' } },
    });
    const at = 6 * 360;
    expect(series.leavingWaterTemperature_K[at]).toBeGreaterThan(series.enteringWaterTemperature_K[at] + 3);
    expect(series.suctionPressure_Pa[at]).toBeGreaterThan(1.5 * series.dischargePressure_Pa[at]);
    expect(series.suctionTemperature_K[at]).toBeGreaterThan(series.leavingWaterTemperature_K[at] + 10);
  });

  it('hot gas warms the evaporator above its water while the compressor runs', () => {
    const { series } = simulateCircuit({
      seed: 1,
      ...plain,
      habits: { hotGasDefrost: { every_h: 4, minutes: 8 } },
    });
    const at = 8 * 360 + 40;
    const evaporating_K = saturationTemperature('R134a', series.suctionPressure_Pa[at], 'dew');
    expect(evaporating_K).toBeGreaterThan(series.leavingWaterTemperature_K[at] + 3);
    expect(series.compressorLoad_pct[at]).toBeGreaterThan(30);
  });

  it('cycling starts the compressor about as often as its periods say', () => {
    const { series } = simulateCircuit({
      seed: 1,
      ...plain,
      load: { base: 0.25, occupied: 0 },
      habits: { cycling: { runMinutes: 8, stopMinutes: 6 } },
    });
    let starts = 0;
    for (let i = 1; i < series.time_s.length; i++)
      if (series.compressorLoad_pct[i] > 0 && series.compressorLoad_pct[i - 1] === 0) starts++;
    expect(starts).toBeGreaterThan(35);
    expect(starts).toBeLessThan(53);
  });
});
