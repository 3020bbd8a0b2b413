import { describe, expect, it } from 'vitest';
import { superheat } from '../../superheat/index.js';
import { errorOfRefrigerant } from './refrigerant-error.js';

describe('the error that another refrigerant makes', () => {
  it('taken from the pressure, makes superheat what it is, over the range in which an evaporator works', () => {
    // R454B in a circuit registered with R410A, evaporating between about 0 and 8 C.
    const { bias, uncertainty } = errorOfRefrigerant('R410A', 'R454B', 8.5e5)!;
    for (const [pressure_Pa, temperature_K] of [
      [7.6e5, 282],
      [8.5e5, 285],
      [9.4e5, 288],
    ] as const) {
      const recomputed = superheat('R410A', pressure_Pa - bias, temperature_K);
      expect(Math.abs(recomputed - superheat('R454B', pressure_Pa, temperature_K))).toBeLessThan(0.35);
    }
    // As registered it is off by kelvins: dew pressure at 5 C 9.36 bar for R410A and 8.6 bar for R454B (from memory).
    expect(Math.abs(superheat('R410A', 8.5e5, 285) - superheat('R454B', 8.5e5, 285))).toBeGreaterThan(2);
    expect(uncertainty).toBeGreaterThan(0);
    expect(uncertainty).toBeLessThan(0.2 * Math.abs(bias));
  });

  it('is none with the registered one, and not known outside the tables', () => {
    expect(errorOfRefrigerant('R134a', 'R134a', 3.5e5)!.bias).toBeCloseTo(0, 3);
    expect(errorOfRefrigerant('R134a', 'R1234ze(E)', 60e5)).toBeUndefined();
    // R32 has nearly three times the pressure of R134a: one number does not make one of the other.
    expect(errorOfRefrigerant('R134a', 'R32', 10e5)).toBeUndefined();
  });
});
