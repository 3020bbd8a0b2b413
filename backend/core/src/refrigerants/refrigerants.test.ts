import fc from 'fast-check';
import { describe, expect, inject, it } from 'vitest';
import { OutOfRangeError } from '../units/index.js';
import { fluidOf } from './fluid.js';
import {
  canonicalRefrigerantName,
  hottestVapour_K,
  isentropicDischarge,
  liquidDensity,
  liquidEnthalpy,
  refrigerantFacts,
  refrigerantNames,
  saturationCurve,
  saturationPressure,
  saturationSlope_K_Pa,
  saturationTemperature,
  UnknownRefrigerantError,
  vapourDensity,
  vapourEnthalpy,
  vapourEntropy,
  vapourTemperatureFromEnthalpy,
} from './index.js';

const names = fc.constantFrom(...refrigerantNames());
const sides = fc.constantFrom('dew' as const, 'bubble' as const);
const fraction = fc.double({ min: 0, max: 1, noNaN: true });
const between = (name: string, part: number) => {
  const { lowestSaturation_K, highestSaturation_K } = refrigerantFacts(name).range;
  return lowestSaturation_K + part * (highestSaturation_K - lowestSaturation_K);
};
// fast-check prints seed and path of a failure; a fixed run count keeps the time known.
const check = <T>(property: fc.IProperty<T>) => fc.assert(property, { numRuns: 2000, seed: inject('seed') });

describe('saturation', () => {
  it('round trips from temperature to pressure and back within 3 mK, whichever the refrigerant and side', () => {
    check(
      fc.property(names, sides, fraction, (name, side, part) => {
        const temperature_K = between(name, part);
        const back = saturationTemperature(name, saturationPressure(name, temperature_K, side), side);
        expect(Math.abs(back - temperature_K)).toBeLessThan(3e-3);
      }),
    );
  });

  it('has its bubble temperature at or under its dew temperature', () => {
    check(
      fc.property(names, fraction, (name, part) => {
        const pressure_Pa = saturationPressure(name, between(name, part * 0.9), 'bubble');
        const glide =
          saturationTemperature(name, pressure_Pa, 'dew') -
          saturationTemperature(name, pressure_Pa, 'bubble');
        expect(glide).toBeGreaterThan(-1e-5);
        if (refrigerantFacts(name).composition.length === 1) expect(Math.abs(glide)).toBeLessThan(1e-5);
      }),
    );
  });

  it('rises with pressure, with a slope that the reported one matches', () => {
    check(
      fc.property(names, sides, fc.double({ min: 0.001, max: 0.99, noNaN: true }), (name, side, part) => {
        const pressure_Pa = saturationPressure(name, between(name, part), side);
        const step = pressure_Pa * 1e-4;
        const rise =
          saturationTemperature(name, pressure_Pa + step, side) -
          saturationTemperature(name, pressure_Pa - step, side);
        const slope = saturationSlope_K_Pa(name, pressure_Pa, side);
        expect(slope).toBeGreaterThan(0);
        expect(Math.abs(rise / (2 * step) / slope - 1)).toBeLessThan(1e-3);
      }),
    );
  });

  it('has no jump of value or slope at the joints of its pieces (slope within 0.1 %)', () => {
    let joints = 0;
    for (const name of refrigerantNames()) {
      const fluid = fluidOf(name);
      for (const side of ['dew', 'bubble'] as const) {
        const { logPressureLow, piecesPerLogPressure } = fluid[side];
        for (let i = 1; i < fluid.table.saturationPieces; i++) {
          const at = (place: number) => Math.exp(logPressureLow + place / piecesPerLogPressure);
          const [before, after] = [at(i - 1e-7), at(i + 1e-7)];
          const jump = saturationTemperature(name, after, side) - saturationTemperature(name, before, side);
          expect(Math.abs(jump)).toBeLessThan(1e-5);
          const slopes = saturationSlope_K_Pa(name, after, side) / saturationSlope_K_Pa(name, before, side);
          expect(Math.abs(slopes - 1)).toBeLessThan(1e-3);
          joints++;
        }
      }
    }
    expect(joints).toBe(22 * 2 * 79);
  });

  it('refuses a pressure or temperature outside its table, naming the argument and the limits', () => {
    expect(() => saturationTemperature('R134a', 5e6, 'dew')).toThrow(OutOfRangeError);
    expect(() => saturationTemperature('R134a', NaN, 'dew')).toThrow(OutOfRangeError);
    expect(() => saturationTemperature('R134a', -1, 'dew')).toThrow(/pressure_Pa = -1 is outside/);
    expect(() => saturationPressure('R744', 303, 'bubble')).toThrow(/temperature_K = 303 is outside .*R744/);
  });

  it('requires a side at run time too', () => {
    const careless = saturationTemperature as unknown as (name: string, pressure_Pa: number) => number;
    expect(() => careless('R407C', 5e5)).toThrow(/side must be 'dew' or 'bubble'/);
  });

  it('has a bound curve that agrees with it and gives NaN outside the table', () => {
    const curve = saturationCurve('r-407c', 'bubble');
    expect(curve.refrigerant).toBe('R407C');
    expect(curve.temperature(5e5)).toBe(saturationTemperature('R407C', 5e5, 'bubble'));
    expect(curve.temperature(curve.highestPressure_Pa * 1.01)).toBeNaN();
    expect(curve.temperature(NaN)).toBeNaN();
  });
});

describe('vapour and liquid', () => {
  const vapourState = fc.tuple(names, fraction, fraction).map(([name, part, hot]) => {
    const pressure_Pa = saturationPressure(name, between(name, part), 'dew');
    const dew_K = saturationTemperature(name, pressure_Pa, 'dew');
    const room = hottestVapour_K(name, pressure_Pa) - dew_K;
    return { name, pressure_Pa, temperature_K: dew_K + hot * Math.max(0, room - 0.5), room };
  });

  it('gains enthalpy and entropy and loses density when heated at one pressure', () => {
    check(
      fc.property(vapourState, ({ name, pressure_Pa, temperature_K, room }) => {
        fc.pre(room > 1);
        const warmer = temperature_K + 0.3;
        expect(vapourEnthalpy(name, pressure_Pa, warmer)).toBeGreaterThan(
          vapourEnthalpy(name, pressure_Pa, temperature_K),
        );
        expect(vapourEntropy(name, pressure_Pa, warmer)).toBeGreaterThan(
          vapourEntropy(name, pressure_Pa, temperature_K),
        );
        expect(vapourDensity(name, pressure_Pa, warmer)).toBeLessThan(
          vapourDensity(name, pressure_Pa, temperature_K),
        );
      }),
    );
  });

  it('obeys dh = T ds at one pressure (second law) within 0.5 % of the step', () => {
    check(
      fc.property(vapourState, ({ name, pressure_Pa, temperature_K, room }) => {
        fc.pre(room > 1);
        const warmer = temperature_K + 0.4;
        const dh =
          vapourEnthalpy(name, pressure_Pa, warmer) - vapourEnthalpy(name, pressure_Pa, temperature_K);
        const ds = vapourEntropy(name, pressure_Pa, warmer) - vapourEntropy(name, pressure_Pa, temperature_K);
        expect(Math.abs(dh / (ds * (temperature_K + 0.2)) - 1)).toBeLessThan(5e-3);
      }),
    );
  });

  it('gives back the temperature from an enthalpy', () => {
    check(
      fc.property(vapourState, ({ name, pressure_Pa, temperature_K }) => {
        const enthalpy = vapourEnthalpy(name, pressure_Pa, temperature_K);
        expect(
          Math.abs(vapourTemperatureFromEnthalpy(name, pressure_Pa, enthalpy) - temperature_K),
        ).toBeLessThan(1e-3);
      }),
    );
  });

  it('has zero enthalpy as saturated vapour at 0 C; liquid has less, and is denser', () => {
    for (const name of refrigerantNames()) {
      const pressure_Pa = saturationPressure(name, 273.15, 'dew');
      expect(Math.abs(vapourEnthalpy(name, pressure_Pa, 273.15))).toBeLessThan(1);
      expect(liquidEnthalpy(name, 273.15)).toBeLessThan(-1e5);
      expect(liquidDensity(name, 273.15)).toBeGreaterThan(5 * vapourDensity(name, pressure_Pa, 273.15));
    }
  });

  it('refuses vapour colder than the dew point and hotter than the table', () => {
    const pressure_Pa = saturationPressure('R134a', 278.15, 'dew');
    expect(() => vapourEnthalpy('R134a', pressure_Pa, 277)).toThrow(/temperature_K = 277 is outside 278/);
    expect(() => vapourDensity('R134a', pressure_Pa, 390)).toThrow(OutOfRangeError);
    // R1234yf's equation of state is stated valid to 410 K, which comes before 100 K of superheat.
    expect(hottestVapour_K('R1234yf', saturationPressure('R1234yf', 333.15, 'dew'))).toBe(410);
  });

  it('is compressed without loss along constant entropy', () => {
    const suction_Pa = saturationPressure('R32', 276.15, 'dew');
    const discharge_Pa = saturationPressure('R32', 315.15, 'dew');
    const end = isentropicDischarge('R32', suction_Pa, 282.15, discharge_Pa);
    const gained =
      vapourEntropy('R32', discharge_Pa, end.temperature_K) - vapourEntropy('R32', suction_Pa, 282.15);
    expect(Math.abs(gained)).toBeLessThan(1e-3);
    expect(end.enthalpyRise_J_kg).toBeGreaterThan(0);
  });
});

describe('names and facts', () => {
  it('are found by any spelling of the designation', () => {
    expect(canonicalRefrigerantName('R-1234ze(e)')).toBe('R1234ze(E)');
    expect(canonicalRefrigerantName('r 134A')).toBe('R134a');
  });

  it('that are unknown are refused, with the nearest known names', () => {
    const offered = (name: string) => {
      try {
        saturationPressure(name, 280, 'dew');
      } catch (error) {
        if (error instanceof UnknownRefrigerantError) return error.nearest;
      }
      throw new Error(`${name} was taken`);
    };
    expect(offered('R1234ze')[0]).toBe('R1234ze(E)');
    expect(offered('R410')[0]).toBe('R410A');
    expect(offered('454B ')).toContain('R454B');
    expect(offered('R134')[0]).toBe('R134a');
  });

  it('say which refrigerants are flammable or toxic, and their mass fractions add up', () => {
    expect(refrigerantFacts('R290')).toMatchObject({ safetyClass: 'A3', flammable: true, toxic: false });
    expect(refrigerantFacts('R717')).toMatchObject({ safetyClass: 'B2L', flammable: true, toxic: true });
    expect(refrigerantFacts('R123')).toMatchObject({ safetyClass: 'B1', flammable: false, toxic: true });
    expect(refrigerantFacts('R134a')).toMatchObject({ safetyClass: 'A1', flammable: false, toxic: false });
    for (const name of refrigerantNames()) {
      const sum = refrigerantFacts(name).composition.reduce((total, part) => total + part.massFraction, 0);
      expect(Math.abs(sum - 1)).toBeLessThan(1e-9);
    }
  });
});
