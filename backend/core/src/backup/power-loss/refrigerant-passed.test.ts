import { describe, expect, it } from 'vitest';
import { greatestPassed_kg } from './refrigerant-passed.js';
import { circuit, circuitSeries, start_s } from '../sample-modules.js';

/** COMPUTED, CoolProp 8.0.0: saturated liquid R134a at 0.3 MPa, kg/m3. */
const density = 1292.55;
const to_s = start_s + 3600;

const passed = (
  difference_Pa: (t: number) => number,
  options: {
    opening?: number | null;
    until_s?: number;
    step_s?: number;
    motors?: 1 | 2;
    low_Pa?: number | null;
  } = {},
) => {
  const { opening = 40, until_s = start_s + 605, step_s = 10, motors = 1, low_Pa = 3e5 } = options;
  const series = circuitSeries(start_s - 600, to_s, step_s, (t) => ({
    suctionPressure_Pa: 3e5,
    dischargePressure_Pa: 3e5 + difference_Pa(t),
  }));
  const entry = { ...circuit, valve: { ...circuit.valve, motors } };
  return greatestPassed_kg(
    entry,
    { circuit: 1, refrigerant: 'R134a', series },
    start_s,
    until_s,
    opening,
    low_Pa,
  );
};

describe('the most refrigerant that can have passed', () => {
  // MEMORY, IEC 60534: m = Kv sqrt(1000 rho dp[bar]) / 3600, here with Kv 2.5 m3/h, 40 % open, 6 bar.
  const rate_kg_s = (1 * Math.sqrt(1000 * density * 6)) / 3600;

  it('is by the orifice law 0.7736 kg/s at 6 bar through 40 % of a valve of Kv 2.5, over 605 s 468 kg', () => {
    expect(rate_kg_s).toBeCloseTo(0.7736, 4);
    expect(passed(() => 6e5)! / (605 * rate_kg_s)).toBeCloseTo(1, 3);
  });

  it('is twice that through two valves', () => {
    expect(passed(() => 6e5, { motors: 2 })! / passed(() => 6e5)!).toBeCloseTo(2, 9);
  });

  it('goes with the root of the difference: falling straight to none in 600 s, two thirds of the full one', () => {
    const falling = passed((t) => Math.max(0, 6e5 * (1 - Math.max(0, t - start_s) / 600)), { step_s: 1 })!;
    // Carried forward from each sample to the next, so never under the integral.
    expect(falling / (600 * rate_kg_s)).toBeGreaterThan(2 / 3);
    expect(falling / (600 * rate_kg_s)).toBeLessThan(0.67);
  });

  it('is overstated, not understated, where samples are few', () => {
    const fall = (t: number) => 6e5 * Math.exp(-Math.max(0, t - start_s) / 200);
    expect(passed(fall, { step_s: 60 })!).toBeGreaterThan(passed(fall, { step_s: 5 })!);
  });

  it('is zero through a shut valve, and unknown without opening or pressure', () => {
    expect(passed(() => 6e5, { opening: 0 })).toBe(0);
    expect(passed(() => 6e5, { opening: null })).toBeNull();
    expect(passed(() => 6e5, { low_Pa: null })).toBeNull();
    expect(passed(() => NaN)).toBeNull();
  });
});
