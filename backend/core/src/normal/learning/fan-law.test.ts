import { describe, expect, it } from 'vitest';
import { r134a, saturated, state } from '../../diagnosis/causes/sample-channels.js';
import { fansPerKelvin } from './fan-law.js';

const air = r134a('dry-expansion', 'air');
const at = (condensing_K: number, fan: number) => ({
  ...state,
  dischargePressure_Pa: saturated(condensing_K),
  condenserFanSpeed_pct: fan,
});
const kelvins = Array.from({ length: 20 }, (_, k) => 0.25 * k);

describe('the law that fans follow', () => {
  it('is the slope of a proportional controller, its ends left out', () => {
    const band = kelvins.map((over_K) => at(308 + over_K, Math.min(100, 20 + 24 * over_K)));
    expect(fansPerKelvin(air, band)! / 24).toBeCloseTo(1, 2);
  });

  it('is none where the speed goes its own way at the same condensing, with few plateaus, or on water', () => {
    const own = kelvins.map((_, k) => at(310 + 0.1 * (k % 3), 30 + ((k * 37) % 60)));
    expect(fansPerKelvin(air, own)).toBeNull();
    expect(
      fansPerKelvin(
        air,
        kelvins.slice(0, 7).map((over_K) => at(308 + over_K, 20 + 20 * over_K)),
      ),
    ).toBeNull();
    const band = kelvins.map((over_K) => at(308 + over_K, 20 + 14 * over_K));
    expect(fansPerKelvin(r134a(), band)).toBeNull();
  });
});
