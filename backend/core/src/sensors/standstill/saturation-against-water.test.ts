import { describe, expect, it } from 'vitest';
import { saturationPressure } from '../../refrigerants/index.js';
import { offsetAfterStops } from './saturation-against-water.js';
import type { ShortStop } from './short-stops.js';

interface Stop {
  refrigerant: string;
  /** Water, and the saturation pressure published for that temperature. */
  water_K: number;
  published_Pa: number;
  minutes: number;
  lag_s?: number;
  below_K?: number;
}

/** A stop in which saturation comes up to the water with a lag and meets it at the published pressure. */
function stop({ refrigerant, water_K, published_Pa, minutes, lag_s = 150, below_K = 8 }: Stop): ShortStop {
  const at_s = Float64Array.from({ length: minutes * 6 - 3 }, (_, k) => 40 + 10 * k);
  const level_Pa = saturationPressure(refrigerant, water_K, 'dew');
  return {
    from_s: 0,
    to_s: 60 * minutes,
    at_s,
    suctionPressure_Pa: at_s.map(
      (t) =>
        (published_Pa * saturationPressure(refrigerant, water_K - below_K * Math.exp(-t / lag_s), 'dew')) /
        level_Pa,
    ),
    waterTemperature_K: at_s.map(() => water_K),
  };
}

/** PUBLISHED, Tillner-Roth & Baehr 1994, J. Phys. Chem. Ref. Data 23:657, Table 8; Tillner-Roth & Yokozeki 1997, 26:1273. */
const published = [
  { refrigerant: 'R134a', water_K: 300, published_Pa: 702.82e3 },
  { refrigerant: 'R134a', water_K: 250, published_Pa: 115.61e3 },
  { refrigerant: 'R32', water_K: 273.15, published_Pa: 813.1e3 },
] as const;

const standardAtmosphere_Pa = 101_325;
const fahrenheit = (value: number) => (value + 459.67) / 1.8;
const psi = (value: number) => value * 6894.757;

describe('saturation against water after a stop of six minutes', () => {
  it.each(published)('is no offset at the published pressure of $refrigerant at $water_K K', (one) => {
    const found = offsetAfterStops([stop({ ...one, minutes: 6 })], {
      refrigerant: one.refrigerant,
      added_Pa: 0,
      tolerance_Pa: 8000,
    })!;
    expect(Math.abs(found.offset_K)).toBeLessThan(found.uncertainty_K);
    expect(found.lag_s).toBeGreaterThan(100);
    expect(found.lag_s).toBeLessThan(220);
  });

  it('is a saturation far below the water where gauge is taken for absolute, and none with the air added', () => {
    // PUBLISHED, measured: ASHRAE RP-1043, normal run, R134a: 37.2 psig at a saturation temperature of 42.1 F.
    const measured = stop({
      refrigerant: 'R134a',
      water_K: fahrenheit(42.1),
      published_Pa: psi(37.2 + 14.696),
      minutes: 6,
    });
    const gauge = {
      ...measured,
      suctionPressure_Pa: measured.suctionPressure_Pa.map((p) => p - standardAtmosphere_Pa),
    };
    const reading = { refrigerant: 'R134a', added_Pa: 0, tolerance_Pa: 8000 };
    const asAbsolute = offsetAfterStops([gauge], reading)!;
    expect(asAbsolute.offset_K).toBeLessThan(-7);
    expect(Math.abs(asAbsolute.offset_K)).toBeGreaterThan(4 * asAbsolute.uncertainty_K);
    const asGauge = offsetAfterStops([gauge], { ...reading, added_Pa: standardAtmosphere_Pa })!;
    expect(Math.abs(asGauge.offset_K)).toBeLessThan(asGauge.uncertainty_K);
  });

  it('is told from another refrigerant by the pressures that were published for both', () => {
    // R32 at 0 C (813.10 kPa) read as R410A, whose dew pressure there lies near it: not told apart; as R134a: far off.
    const stopped = [stop({ ...published[2], minutes: 8 })];
    const as = (refrigerant: string) =>
      offsetAfterStops(stopped, { refrigerant, added_Pa: 0, tolerance_Pa: 8000 })!;
    expect(as('R134a').offset_K).toBeGreaterThan(10 * as('R134a').uncertainty_K);
    expect(Math.abs(as('R410A').offset_K)).toBeLessThan(2 * as('R410A').uncertainty_K);
  });

  it('knows the offset the better the longer the stop, and never better than its sensors', () => {
    const uncertainty = (minutes: number) =>
      offsetAfterStops([stop({ ...published[0], minutes })], {
        refrigerant: 'R134a',
        added_Pa: 0,
        tolerance_Pa: 8000,
      })!.uncertainty_K;
    expect(uncertainty(20)).toBeLessThan(uncertainty(5));
    // COMPUTED, CoolProp 8.0.0: R134a at 300 K, dT/dp 4.8 K/bar; 8 kPa over root 3 is 0.22 K, 0.5 K over root 3 is 0.29 K.
    expect(uncertainty(30)).toBeGreaterThan(Math.hypot(0.22, 0.29, 0.3) - 0.02);
  });

  it('says nothing without a stop, nor where the pressure leaves the table', () => {
    const reading = { refrigerant: 'R134a', added_Pa: 0, tolerance_Pa: 8000 };
    expect(offsetAfterStops([], reading)).toBeNull();
    expect(
      offsetAfterStops([stop({ ...published[1], minutes: 6 })], { ...reading, added_Pa: -115e3 }),
    ).toBeNull();
  });
});
