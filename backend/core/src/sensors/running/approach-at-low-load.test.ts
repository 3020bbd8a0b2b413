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

describe('the approach extrapolated to no load', () => {
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

  /** So many samples at each load, the approach 6 K in proportion to it unless said. */
  function at(
    loads: readonly (readonly [load_pct: number, samples: number])[],
    over_K = (load: number) => (-6 * load) / 100,
  ) {
    const rows = loads.flatMap(([load, samples]) => Array.from({ length: samples }, () => load));
    const series = emptyCircuitSeries(rows.length);
    rows.forEach((load, i) => {
      series.time_s[i] = 10 * i;
      series.compressorLoad_pct[i] = load;
      series.leavingWaterTemperature_K[i] = 280;
      series.suctionPressure_Pa[i] = saturationPressure('R134a', 280 + over_K(load), 'dew');
    });
    return offsetAtLowLoad(series, [...rows.keys()], reading);
  }

  it('takes three tens of per cent of load, thirty samples in each', () => {
    expect(
      at([
        [35, 30],
        [55, 30],
        [75, 30],
      ]),
    ).not.toBeNull();
    expect(
      at([
        [35, 30],
        [55, 29],
        [75, 30],
      ]),
    ).toBeNull();
    expect(
      at([
        [35, 30],
        [75, 30],
      ]),
    ).toBeNull();
    // 51 and 59 % are one ten.
    expect(
      at([
        [35, 30],
        [51, 30],
        [59, 30],
      ]),
    ).toBeNull();
    expect(
      at([
        [35, 30],
        [51, 15],
        [59, 15],
        [75, 30],
      ]),
    ).not.toBeNull();
  });

  it('takes a load of 40 % or less, and a range of 25 %, in whatever order they were seen', () => {
    expect(
      at([
        [40, 30],
        [55, 30],
        [75, 30],
      ]),
    ).not.toBeNull();
    expect(
      at([
        [41, 30],
        [55, 30],
        [75, 30],
      ]),
    ).toBeNull();
    expect(
      at([
        [35, 30],
        [45, 30],
        [60, 30],
      ]),
    ).not.toBeNull();
    expect(
      at([
        [35, 30],
        [45, 30],
        [59.9, 30],
      ]),
    ).toBeNull();
    expect(
      at([
        [75, 30],
        [35, 30],
        [55, 30],
      ]),
    ).not.toBeNull();
    expect(
      at([
        [55, 30],
        [75, 30],
        [35, 30],
      ])!.offset_K,
    ).toBeCloseTo(0, 2);
  });

  it('is the intercept of the line, whose uncertainty has the curvature of 1.5 K over root 3 and the sensors in it', () => {
    const three = [
      [35, 30],
      [55, 30],
      [75, 30],
    ] as const;
    const found = at(three, (load) => 2 - 0.05 * load)!;
    expect(found.offset_K).toBeCloseTo(2, 2);
    expect(found).toMatchObject({ stops: 0, lag_s: null });
    // At 280 K: 8 kPa over root 3 with 8.0 K/bar of the dew line (COMPUTED, CoolProp 8.0.0), 0.5 K over root 3, 0.3 K.
    const slope =
      2 / (saturationPressure('R134a', 280.25, 'dew') - saturationPressure('R134a', 278.25, 'dew'));
    expect(found.uncertainty_K).toBeCloseTo(Math.sqrt(0.75 + (slope * 8000) ** 2 / 3 + 0.25 / 3 + 0.09), 2);
    // An approach that grows as load falls is no approach.
    expect(at(three, (load) => -6 + 0.05 * load)).toBeNull();
  });

  it('leaves out samples without load, pressure or water', () => {
    const series = emptyCircuitSeries(100);
    expect(offsetAtLowLoad(series, [...Array(100).keys()], reading)).toBeNull();
    expect(offsetAtLowLoad(series, [], reading)).toBeNull();
  });
});
