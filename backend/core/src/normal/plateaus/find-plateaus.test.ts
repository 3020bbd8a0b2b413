import { describe, expect, it } from 'vitest';
import { normalDraws, seededRandom } from '../../numerics/index.js';
import { saturationPressure } from '../../refrigerants/index.js';
import { emptyCircuitSeries, type CircuitSeries } from '../../telemetry/circuit-series.js';
import { findPlateaus } from './find-plateaus.js';

/** Stretches of given length and conditions, each reached with a time constant of 3 min. */
function run(
  parts: { minutes: number; condensing_K: number; leaving_K: number; load_pct: number }[],
  noise_K = 0.05,
): CircuitSeries {
  const gauss = normalDraws(seededRandom(3));
  const n = parts.reduce((sum, { minutes }) => sum + minutes * 6, 0);
  const s = emptyCircuitSeries(n);
  let row = 0;
  let now = { ...parts[0] };
  for (const part of parts) {
    for (let k = 0; k < part.minutes * 6; k++, row++) {
      const step = 1 - Math.exp(-10 / 180);
      now = {
        ...now,
        condensing_K: now.condensing_K + step * (part.condensing_K - now.condensing_K),
        leaving_K: now.leaving_K + step * (part.leaving_K - now.leaving_K),
        load_pct: part.load_pct,
      };
      const noise = () => noise_K * gauss();
      s.time_s[row] = 1.7e9 + 10 * row;
      s.dischargePressure_Pa[row] = saturationPressure('R134a', now.condensing_K + noise(), 'dew');
      s.suctionPressure_Pa[row] = saturationPressure('R134a', now.leaving_K - 3 + noise(), 'dew');
      s.suctionTemperature_K[row] = now.leaving_K + 2 + noise();
      s.leavingWaterTemperature_K[row] = now.leaving_K + noise();
      s.compressorLoad_pct[row] = Math.max(0, now.load_pct + 3 * noise());
    }
  }
  return s;
}

const at = (load_pct: number, condensing_K = 310, leaving_K = 280, minutes = 40) => ({
  minutes,
  condensing_K,
  leaving_K,
  load_pct,
});
const lengths = (s: CircuitSeries) =>
  findPlateaus(s, 'R134a').map(({ from_s, to_s }) => [
    Math.round((from_s - 1.7e9) / 60),
    Math.round((to_s - 1.7e9) / 60),
  ]);

describe('plateaus', () => {
  it('are one per condition held, cut where load, condenser or water changes, without the approach to it', () => {
    const found = lengths(run([at(80), at(80, 305), at(80, 305, 283), at(50, 305, 283)]));
    expect(found).toHaveLength(4);
    found.forEach(([from, to], k) => {
      // 2 or 5 K with a time constant of 3 min are within half a kelvin after 4 to 7 min.
      expect(from).toBeGreaterThanOrEqual(40 * k);
      expect(from).toBeLessThan(40 * k + 15);
      expect(to).toBeGreaterThan(40 * k + 33);
      expect(to).toBeLessThanOrEqual(40 * (k + 1) + 1);
    });
  });

  it('of conditions that come again are apart, each with its own number', () => {
    const plateaus = findPlateaus(run([at(80), at(50), at(80)]), 'R134a');
    expect(plateaus).toHaveLength(3);
    expect(plateaus[0].values.compressorLoad_pct!.value).toBeCloseTo(80, 0);
    expect(plateaus[2].values.compressorLoad_pct!.value).toBeCloseTo(80, 0);
  });

  it('are none while the machine stands', () => {
    expect(lengths(run([at(0)]))).toEqual([]);
  });

  it('pass over columns that are not there', () => {
    const s = run([at(80), at(80, 304)]);
    s.compressorLoad_pct.fill(NaN);
    s.leavingWaterTemperature_K.fill(NaN);
    expect(lengths(s)).toHaveLength(2);
    s.dischargePressure_Pa.fill(NaN);
    expect(lengths(s)).toHaveLength(0); // nothing says that it runs
  });

  it('end where conditions creep away', () => {
    const creeping = Array.from({ length: 40 }, (_, k) => at(80, 305 + 0.15 * k, 280, 6));
    const found = lengths(run(creeping));
    // 6 K in 4 h: two tolerances of half a kelvin each give six parts or so.
    expect(found.length).toBeGreaterThanOrEqual(4);
    expect(found.length).toBeLessThanOrEqual(8);
  });

  it('are found by wider tolerances on a machine that never holds still', () => {
    const restless = Array.from({ length: 60 }, (_, k) => at(80, k % 2 ? 310.8 : 309.2, 280, 5));
    expect(lengths(run(restless)).length).toBeGreaterThan(0);
  });

  it('of 25 min are found from samples 2 min apart, also where one is lost', () => {
    const all = run([at(80, 310, 280, 25), at(50, 306, 282, 25), at(80, 303, 279, 25)]);
    const every = (lost: readonly number[]) => {
      const kept = (_: number, i: number) => i % 12 === 0 && !lost.includes(i / 12);
      const s = emptyCircuitSeries(all.time_s.filter(kept).length);
      for (const name of Object.keys(s) as (keyof CircuitSeries)[]) s[name] = all[name].filter(kept);
      return lengths(s);
    };
    for (const lost of [[], [8, 20, 33]]) {
      const found = every(lost);
      expect(found).toHaveLength(3);
      found.forEach(([from, to], k) => {
        expect(from).toBeGreaterThanOrEqual(25 * k);
        expect(to).toBeLessThanOrEqual(25 * (k + 1) + 2);
        // At least 8 min, each sample counted for 2 min.
        expect(to - from + 2).toBeGreaterThanOrEqual(8);
      });
    }
  });

  it('are none of an empty series', () => {
    expect(findPlateaus(emptyCircuitSeries(0), 'R134a')).toEqual([]);
  });
});
