import { describe, expect, it } from 'vitest';
import { saturationPressure, saturationSlope_K_Pa } from '../../refrigerants/index.js';
import { middleSaturation, offsetAfterStops, systematic } from './saturation-against-water.js';
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

describe('several stops', () => {
  const reading = { refrigerant: 'R134a', added_Pa: 0, tolerance_Pa: 8000 };
  /** A stop of ten minutes that comes to lie so far over its water of 280 K, from 4 K below. */
  const over = (offset_K: number, lag_s = 100, water: (t: number) => number = () => 280): ShortStop => {
    const at_s = Float64Array.from({ length: 57 }, (_, k) => 30 + 10 * k);
    return {
      from_s: 0,
      to_s: 600,
      at_s,
      suctionPressure_Pa: at_s.map((t) =>
        saturationPressure('R134a', 280 + offset_K - 4 * Math.exp(-t / lag_s), 'dew'),
      ),
      waterTemperature_K: at_s.map(water),
    };
  };
  const least = systematic(reading, saturationPressure('R134a', 280, 'dew'));

  it('alike have the offset of each, their number, and the time constant', () => {
    for (const offset_K of [-3, 0, 2]) {
      const found = offsetAfterStops([over(offset_K), over(offset_K), over(offset_K)], reading)!;
      expect(found.offset_K).toBeCloseTo(offset_K, 1);
      expect(found.stops).toBe(3);
      expect(found.lag_s).toBeGreaterThan(85);
      expect(found.lag_s).toBeLessThan(120);
      expect(found.uncertainty_K).toBeLessThan(least + 0.05);
    }
  });

  it('unlike have their mean, and half the difference of two, or the spread over the root of four, as uncertainty', () => {
    // Standard deviation of a mean: of -0.2 and 0.2 it is 0.2; of two of each root(4/3) x 0.2 / 2 = 0.115.
    for (const [stops, own] of [
      [[over(-0.2), over(0.2)], 0.2],
      [[over(-0.2), over(0.2), over(-0.2), over(0.2)], 0.2 / Math.sqrt(3)],
    ] as const) {
      const found = offsetAfterStops(stops, reading)!;
      expect(found.offset_K).toBeCloseTo(0, 1);
      expect(found.uncertainty_K).toBeGreaterThan(Math.hypot(own, least) - 0.002);
      expect(found.uncertainty_K).toBeLessThan(Math.hypot(own, least) + 0.02);
    }
  });

  it('that contradict each other by kelvins leave the offset between them, as unsure as they are apart', () => {
    // Mean of -1 and 1 K: 0 K, standard deviation of the mean 1 K; of -1, 1 and 1 K: 1/3 K, and root(24/9 / 6) = 0.67 K.
    for (const [offsets_K, middle_K, own_K] of [
      [[-1, 1], 0, 1],
      [[-2, 2], 0, 2],
      [[2, -2, 2, -2], 0, 2 / Math.sqrt(3)],
      [[-1, 1, 1], 1 / 3, 2 / 3],
    ] as const) {
      const found = offsetAfterStops(
        offsets_K.map((offset_K) => over(offset_K)),
        reading,
      )!;
      expect(Math.abs(found.offset_K - middle_K)).toBeLessThan(0.15);
      expect(found.uncertainty_K).toBeGreaterThan(0.95 * Math.hypot(own_K, least));
      expect(found.uncertainty_K).toBeLessThan(1.3 * Math.hypot(own_K, least));
      expect(found.lag_s).toBeGreaterThan(70);
      expect(found.lag_s).toBeLessThan(140);
    }
  });

  it('have the water followed with the same lag where it drifts', () => {
    // Water that warms by 1 K in 500 s is followed 100 s late: saturation runs 0.2 K behind it.
    const drifting = over(0, 100, (t) => 280 + t / 500);
    const late = {
      ...drifting,
      suctionPressure_Pa: drifting.at_s.map((t) =>
        saturationPressure('R134a', 280 + (t - 100) / 500 - 4 * Math.exp(-t / 100), 'dew'),
      ),
    };
    expect(Math.abs(offsetAfterStops([late, late], reading)!.offset_K)).toBeLessThan(0.1);
  });

  it('say nothing once one of them leaves the table', () => {
    const out = {
      ...over(0),
      suctionPressure_Pa: over(0).suctionPressure_Pa.map((p, i) => (i === 50 ? 9e6 : p)),
    };
    expect(offsetAfterStops([over(0), out], reading)).toBeNull();
  });
});

describe('what stays unsure however long one looks', () => {
  it('is the root sum of squares of half-widths over root 3, of the place, and of the glide over root 12 (JCGM 100:2008)', () => {
    const pressure_Pa = saturationPressure('R134a', 280, 'dew');
    const slope = saturationSlope_K_Pa('R134a', pressure_Pa, 'dew');
    const of = (tolerance_Pa: number, added_Pa = 0) =>
      systematic({ refrigerant: 'R134a', added_Pa, tolerance_Pa }, pressure_Pa - added_Pa);
    // Water sensor 0.5 K, place 0.3 K (judgement, no source).
    expect(of(0)).toBeCloseTo(Math.sqrt(0.25 / 3 + 0.09), 9);
    expect(of(20_000)).toBeCloseTo(Math.sqrt((slope * 20_000) ** 2 / 3 + 0.25 / 3 + 0.09), 9);
    expect(of(20_000, 101_325)).toBeCloseTo(of(20_000), 9);
    // R407C at 280 K: dew 581.7 kPa, bubble 705.4 kPa; its glide there is some 6 K (COMPUTED, CoolProp 8.0.0).
    const blend = saturationPressure('R407C', 280, 'dew');
    const glide = Math.sqrt(
      12 * (systematic({ refrigerant: 'R407C', added_Pa: 0, tolerance_Pa: 0 }, blend) ** 2 - of(0) ** 2),
    );
    expect(glide).toBeGreaterThan(5);
    expect(glide).toBeLessThan(7);
  });

  it('is without limit outside the table', () => {
    expect(systematic({ refrigerant: 'R134a', added_Pa: 0, tolerance_Pa: 8000 }, -5)).toBe(Infinity);
  });

  it('is about the middle of bubble and dew temperature', () => {
    const dew_Pa = saturationPressure('R407C', 280, 'dew');
    const middle = middleSaturation({ refrigerant: 'R407C', added_Pa: 10_000, tolerance_Pa: 0 });
    // Half a glide of some 6 K under the dew point.
    expect(middle(dew_Pa - 10_000)).toBeGreaterThan(276.5);
    expect(middle(dew_Pa - 10_000)).toBeLessThan(277.5);
    expect(middle(-1e5)).toBeNaN();
    expect(
      middleSaturation({ refrigerant: 'R134a', added_Pa: 0, tolerance_Pa: 0 })(
        saturationPressure('R134a', 280, 'dew'),
      ),
    ).toBeCloseTo(280, 3);
  });
});
