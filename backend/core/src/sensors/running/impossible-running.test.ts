import { describe, expect, it } from 'vitest';
import { saturationPressure } from '../../refrigerants/index.js';
import { emptyCircuitSeries, type CircuitSeries } from '../../telemetry/circuit-series.js';
import { impossibleRunning } from './impossible-running.js';

const rows = 400;
const all = Array.from({ length: rows }, (_, i) => i);
const zero_K = 273.15;
/** R134a evaporating at 3 C and condensing at 40 C, suction at 9 C, water leaving at 7 C. */
function running(change: Partial<Record<keyof CircuitSeries, number>> = {}): CircuitSeries {
  const series = emptyCircuitSeries(rows);
  const values = {
    suctionPressure_Pa: saturationPressure('R134a', 3 + zero_K, 'dew'),
    dischargePressure_Pa: saturationPressure('R134a', 40 + zero_K, 'dew'),
    suctionTemperature_K: 9 + zero_K,
    leavingWaterTemperature_K: 7 + zero_K,
    compressorLoad_pct: 70,
    ...change,
  };
  series.time_s.set(all.map((i) => 10 * i));
  for (const [name, value] of Object.entries(values)) series[name as keyof CircuitSeries].fill(value);
  return series;
}
const found = (change?: Parameters<typeof running>[0]) => impossibleRunning('R134a', running(change), all);

describe('running', () => {
  it('is possible as a machine runs, starved, flooded, or with a gauge taken for absolute', () => {
    expect(found()).toBeNull();
    expect(found({ suctionTemperature_K: 24 + zero_K })).toBeNull();
    expect(found({ suctionTemperature_K: 3 + zero_K })).toBeNull();
    expect(
      found({ suctionPressure_Pa: saturationPressure('R134a', 3 + zero_K, 'dew') - 101_325 }),
    ).toBeNull();
  });

  it('is not with kilopascals or bars of a gauge for pascals: the compressor lifts nothing', () => {
    const small = { suctionPressure_Pa: 101_325 + 225, dischargePressure_Pa: 101_325 + 915 };
    expect(found(small)!.because).toBe('lifts-nothing');
    // Without a load it may stand: then saturation tells, -26 C at one atmosphere.
    expect(found({ ...small, compressorLoad_pct: NaN })!.because).toBe('superheat');
  });

  it('is not with Fahrenheit for Celsius: 48.2 and 44.6 are 9 and 7 C', () => {
    const one = found({ suctionTemperature_K: 48.2 + zero_K, leavingWaterTemperature_K: 44.6 + zero_K })!;
    expect(one.because).toBe('superheat');
    expect(one.approach_K).toBeCloseTo(41.6, 1);
    expect(found({ leavingWaterTemperature_K: 44.6 + zero_K })!.because).toBe('approach');
  });

  it('is not judged by too few samples', () => {
    expect(impossibleRunning('R134a', running({ suctionTemperature_K: 340 }), all.slice(0, 100))).toBeNull();
  });
});
