import { describe, expect, it } from 'vitest';
import {
  celsiusToKelvin,
  fahrenheitToKelvin,
  kelvinToFahrenheit,
  OutOfRangeError,
  psiToPascal,
  standardAtmospherePressure_Pa,
  wattPerTonOfRefrigeration,
} from './index.js';

describe('units', () => {
  it('converts at the fixed points (exact by definition)', () => {
    expect(celsiusToKelvin(0)).toBe(273.15);
    expect(fahrenheitToKelvin(32)).toBe(273.15);
    expect(kelvinToFahrenheit(373.15)).toBeCloseTo(212, 9);
  });

  it('has the standard atmosphere as 14.696 psi and a ton as 3.516853 kW (COMMON PRACTICE)', () => {
    expect(Math.abs(psiToPascal(14.696) - 101325)).toBeLessThan(4);
    expect(Math.abs(wattPerTonOfRefrigeration - 3516.853)).toBeLessThan(0.001);
  });

  it.each([
    [0, 101325],
    [500, 95461],
    [1000, 89876],
    [2000, 79501],
    [5000, 54048],
  ])('the standard atmosphere at %d m has %d Pa (MEMORY, ISO 2533 table)', (altitude_m, pressure_Pa) => {
    // The printed tables go by geometric height; the difference stays under 0.06 % here.
    expect(Math.abs(standardAtmospherePressure_Pa(altitude_m) / pressure_Pa - 1)).toBeLessThan(6e-4);
  });

  it('refuses an altitude outside the troposphere', () => {
    expect(() => standardAtmospherePressure_Pa(20000)).toThrow(OutOfRangeError);
    expect(() => standardAtmospherePressure_Pa(NaN)).toThrow(/altitude_m/);
  });
});
