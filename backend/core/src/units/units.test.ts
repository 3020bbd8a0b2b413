import { describe, expect, it } from 'vitest';
import {
  celsiusToKelvin,
  fahrenheitToKelvin,
  kelvinToFahrenheit,
  monthStart_s,
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

describe('a calendar month', () => {
  const at_s = (text: string) => Date.parse(text) / 1000;
  it('begins at midnight of its first day in UTC, and the next one after December is January', () => {
    expect(monthStart_s(at_s('2026-12-24T18:30:00Z'))).toBe(at_s('2026-12-01T00:00:00Z'));
    expect(monthStart_s(at_s('2026-12-01T00:00:00Z'))).toBe(at_s('2026-12-01T00:00:00Z'));
    expect(monthStart_s(at_s('2026-12-31T23:59:59.9Z'), 1)).toBe(at_s('2027-01-01T00:00:00Z'));
    expect(monthStart_s(at_s('2028-01-31T12:00:00Z'), 1)).toBe(at_s('2028-02-01T00:00:00Z'));
  });
});
