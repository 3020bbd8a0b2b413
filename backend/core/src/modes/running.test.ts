import { describe, expect, it } from 'vitest';
import { emptyCircuitSeries, type CircuitSeries } from '../telemetry/circuit-series.js';
import { runningSamples } from './running.js';

/** One sample of an R134a circuit that cools water by 5 K between 3 and 40 C, with what differs. */
function runs(differs: Partial<Record<keyof CircuitSeries, number>>): number {
  const series = emptyCircuitSeries(1);
  const sample = {
    compressorLoad_pct: 100,
    compressorPower_W: 30e3,
    valveOpening_pct: 45,
    suctionPressure_Pa: 3.2e5,
    dischargePressure_Pa: 10.2e5,
    dischargeTemperature_K: 335,
    enteringWaterTemperature_K: 285,
    leavingWaterTemperature_K: 280,
    ...differs,
  };
  for (const [name, value] of Object.entries(sample)) series[name as keyof CircuitSeries][0] = value;
  return runningSamples(series, 'R134a')[0]!;
}
const atRest = { dischargePressure_Pa: 5.7e5, suctionPressure_Pa: 5.7e5, leavingWaterTemperature_K: 285 };
const shut = { valveOpening_pct: 0 };
const uncooled = { leavingWaterTemperature_K: 284.9 };

describe('whether a compressor runs', () => {
  it('is told by its load where nothing contradicts', () => {
    expect(runs({})).toBe(1);
    expect(runs({ compressorLoad_pct: 0 })).toBe(0);
    // A pump-down: the valve is shut, power is drawn and what is left boils.
    expect(runs({ ...shut, suctionPressure_Pa: 1.2e5 })).toBe(1);
    expect(runs({ ...shut, compressorPower_W: NaN })).toBe(1);
    // Pressures in another unit, over the air's: nearly equal beside water that is cooled.
    expect(runs({ suctionPressure_Pa: 101_525, dischargePressure_Pa: 102_245 })).toBe(1);
    // A valve, or a meter, that is not connected.
    expect(runs({ valveOpening_pct: NaN, compressorPower_W: 0 })).toBe(1);
    expect(runs({ compressorPower_W: 0 })).toBe(1);
  });

  it('is not told by a load that stays at stops, such as a limit or a constant', () => {
    expect(runs(atRest)).toBe(0);
    expect(runs({ ...atRest, dischargePressure_Pa: 5.5e5 })).toBe(0);
    expect(runs({ ...shut, compressorPower_W: 0 })).toBe(0);
    expect(runs({ ...shut, ...uncooled, compressorPower_W: NaN })).toBe(0);
  });

  it('is not told by a load of a few percent, which is a standby value or a number of stages', () => {
    expect(runs({ compressorLoad_pct: 2 })).toBe(1);
    expect(runs({ compressorLoad_pct: 2, compressorPower_W: 0 })).toBe(0);
    expect(runs({ compressorLoad_pct: 2, ...shut })).toBe(0);
    const nothingElse = { compressorPower_W: NaN, valveOpening_pct: NaN, dischargePressure_Pa: NaN };
    expect(runs({ compressorLoad_pct: 2, ...nothingElse })).toBe(1);
    expect(runs({ compressorLoad_pct: 0.5, ...nothingElse })).toBe(0);
  });
});
