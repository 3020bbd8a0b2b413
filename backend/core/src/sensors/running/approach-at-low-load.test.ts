import { describe, expect, it } from 'vitest';
import { saturationPressure } from '../../refrigerants/index.js';
import { emptyCircuitSeries } from '../../telemetry/circuit-series.js';
import { offsetAtLowLoad } from './approach-at-low-load.js';

const reading = { refrigerant: 'R134a', added_Pa: 0, tolerance_Pa: 8000 };

/** Loads from `lowest` to 100 %, water leaving at 7 C, the approach 6 K at full load. */
function runs(lowest_pct: number, exponent: number, added_Pa = 0) {
  const series = emptyCircuitSeries(2000);
  for (let i = 0; i < 2000; i++) {
    const load = lowest_pct + ((100 - lowest_pct) * i) / 1999;
    series.time_s[i] = 10 * i;
    series.compressorLoad_pct[i] = load;
    series.leavingWaterTemperature_K[i] = 280.15;
    const saturation_K = 280.15 - 6 * (load / 100) ** exponent;
    series.suctionPressure_Pa[i] = saturationPressure('R134a', saturation_K, 'dew') + added_Pa;
  }
  return offsetAtLowLoad(series, [...Array(2000).keys()], reading);
}

describe('the approach drawn on to no load', () => {
  it('is none where it falls in proportion to load', () => {
    expect(Math.abs(runs(20, 1)!.offset_K)).toBeLessThan(0.05);
  });

  it('stays within its uncertainty where boiling makes it fall less (q to the power 0.7, MEMORY, Rohsenow)', () => {
    const found = runs(20, 0.7)!;
    expect(Math.abs(found.offset_K)).toBeLessThan(2 * found.uncertainty_K);
  });

  it('shows gauge pressure taken for absolute', () => {
    const found = runs(20, 1, -101_325)!;
    expect(found.offset_K).toBeLessThan(-4 * found.uncertainty_K);
  });

  it('says nothing where no low load was seen', () => {
    expect(runs(60, 1)).toBeNull();
  });
});
