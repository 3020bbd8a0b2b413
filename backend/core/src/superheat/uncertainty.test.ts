import { describe, expect, it } from 'vitest';
import { ArgumentError } from '../units/index.js';
import { saturationPressure } from '../refrigerants/index.js';
import { rectangularUncertainty, subcoolingUncertainty, superheatUncertainty } from './uncertainty.js';

const at5C = (refrigerant: string) => saturationPressure(refrigerant, 278.15, 'dew');

describe('the standard uncertainty of superheat', () => {
  it('of a value within a tolerance is the half-width over root three (PUBLISHED: JCGM 100:2008, 4.3.7)', () => {
    // The variance is a^2 / 3: 0.09 / 3.
    expect(rectangularUncertainty(0.3) ** 2).toBeCloseTo(0.03, 12);
  });

  it.each([
    ['R134a', 8.2],
    ['R1234yf', 8.2],
    ['R1234ze(E)', 10.9],
    ['R1233zd(E)', 39.6],
    ['R32', 3.4],
    ['R410A', 3.5],
    ['R407C', 5.4],
    ['R290', 6.2],
  ])(
    'of %s at 5 C follows from its dew temperature moving %d K per bar (COMPUTED, CoolProp 8.0.0)',
    (name, slope) => {
      // A pressure known to +-0.1 bar and a perfect thermometer: 0.1 bar times the slope, over root three.
      const u = superheatUncertainty(name, at5C(name), 284.15, {
        pressureTolerance_Pa: 0.1e5,
        temperatureTolerance_K: 0,
      });
      expect(Math.abs((u * Math.sqrt(3)) / 0.1 - slope)).toBeLessThan(0.051);
    },
  );

  it('joins pressure and temperature as the root of the sum of squares, worked by hand (PUBLISHED: JCGM 100:2008, 5.1.2)', () => {
    // R134a, 8.2 K/bar, +-0.08 bar and +-0.5 K: u_p = 0.0462 bar -> 0.3787 K; u_T = 0.2887 K; together 0.4762 K.
    const u = superheatUncertainty('R134a', at5C('R134a'), 284.15, {
      pressureTolerance_Pa: 8e3,
      temperatureTolerance_K: 0.5,
    });
    expect(u).toBeCloseTo(0.476, 2);
  });

  it('does not depend on the suction temperature, and is zero with perfect sensors', () => {
    const tolerances = { pressureTolerance_Pa: 8e3, temperatureTolerance_K: 0.5 };
    const p = at5C('R32');
    expect(superheatUncertainty('R32', p, 280, tolerances)).toBe(
      superheatUncertainty('R32', p, 300, tolerances),
    );
    expect(superheatUncertainty('R32', p, 280, { pressureTolerance_Pa: 0, temperatureTolerance_K: 0 })).toBe(
      0,
    );
  });

  it('of subcooling takes the slope of the bubble side', () => {
    // COMPUTED, CoolProp 8.0.0: R407C near 16 bar, bubble slope from 15.9 to 16.1 bar.
    const u = subcoolingUncertainty('R407C', 16e5, { pressureTolerance_Pa: 1e5, temperatureTolerance_K: 0 });
    expect(u * Math.sqrt(3)).toBeCloseTo(2.5014, 1);
  });

  it('refuses a tolerance under zero or not a number, and names it', () => {
    const wrong = (tolerances: { pressureTolerance_Pa: number; temperatureTolerance_K: number }) => () =>
      superheatUncertainty('R134a', 3e5, 284, tolerances);
    expect(wrong({ pressureTolerance_Pa: -1, temperatureTolerance_K: 0 })).toThrow(ArgumentError);
    expect(wrong({ pressureTolerance_Pa: 1, temperatureTolerance_K: NaN })).toThrow(/temperatureTolerance_K/);
  });
});
