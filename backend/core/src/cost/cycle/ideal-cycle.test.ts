import { describe, expect, it } from 'vitest';
import { saturationPressure } from '../../refrigerants/index.js';
import { idealCycle, movedCycle, shareGivenAway, type CycleState } from './ideal-cycle.js';

const stateOf = (
  refrigerant: string,
  [evaporating_C, condensing_C, superheat_K, subcooling_K]: [number, number, number, number],
): CycleState => ({
  suctionPressure_Pa: saturationPressure(refrigerant, evaporating_C + 273.15, 'dew'),
  suctionTemperature_K: evaporating_C + 273.15 + superheat_K,
  dischargePressure_Pa: saturationPressure(refrigerant, condensing_C + 273.15, 'bubble'),
  liquidTemperature_K: condensing_C + 273.15 - subcooling_K,
});

describe('the ideal vapour-compression cycle', () => {
  it('is that of the textbooks', () => {
    // MEMORY: Moran & Shapiro, Fundamentals of Engineering Thermodynamics, example 10.1: R134a, saturated vapour at 0 C,
    // saturated liquid at 26 C: COP 9.24 (to 3 digits, from tables of another equation of state).
    expect(idealCycle('R134a', stateOf('R134a', [0, 26, 0, 0])).cop / 9.24).toBeCloseTo(1, 2);
    // MEMORY: Cengel & Boles, Thermodynamics, example 11-1: R134a between 0.14 and 0.8 MPa (saturated liquid at 31.31 C): COP 3.97.
    const state = {
      ...{ suctionPressure_Pa: 0.14e6, suctionTemperature_K: 254.38 },
      ...{ dischargePressure_Pa: 0.8e6, liquidTemperature_K: 304.46 },
    };
    expect(idealCycle('R134a', state).cop / 3.97).toBeCloseTo(1, 2);
  });

  // COMPUTED, CoolProp 8.0.0: evaporating at 3 C, condensing at 42 C, 6 K of superheat, 5 K of subcooling: COP, and its change
  // in percent with the evaporating temperature 1 K higher and the condensing temperature 1 K lower.
  it.each([
    ['R134a', 6.0146, 3.467, 3.279],
    ['R1234yf', 5.824, 3.584, 3.46],
    ['R1234ze(E)', 6.0245, 3.513, 3.306],
    ['R32', 5.697, 3.402, 3.325],
    ['R290', 5.9158, 3.452, 3.315],
  ])('of %s changes per kelvin as the property library says', (refrigerant, cop, evaporating, condensing) => {
    const state = stateOf(refrigerant, [3, 42, 6, 5]);
    expect(idealCycle(refrigerant, state).cop / cop).toBeCloseTo(1, 2);
    const gain = (change: { evaporating_K: number; condensing_K: number }) =>
      100 * (1 / (1 - shareGivenAway(refrigerant, state, change)) - 1);
    expect(Math.abs(gain({ evaporating_K: 1, condensing_K: 0 }) - evaporating)).toBeLessThan(0.1);
    expect(Math.abs(gain({ evaporating_K: 0, condensing_K: 1 }) - condensing)).toBeLessThan(0.1);
  });

  it('moves pressures and temperatures together, so that superheat and subcooling stay', () => {
    const state = stateOf('R134a', [3, 42, 6, 5]);
    const moved = movedCycle('R134a', state, { evaporating_K: 2, condensing_K: 3 });
    const expected = stateOf('R134a', [5, 39, 6, 5]);
    for (const name of Object.keys(state) as (keyof CycleState)[])
      expect(moved[name] / expected[name]).toBeCloseTo(1, 6);
    expect(shareGivenAway('R134a', state, { evaporating_K: 0, condensing_K: 0 })).toBeCloseTo(0, 8);
    expect(shareGivenAway('R134a', state, { evaporating_K: -1, condensing_K: 0 })).toBeLessThan(0);
  });

  it('is refused outside the property tables', () => {
    const state = stateOf('R134a', [3, 42, 6, 5]);
    expect(() => idealCycle('R134a', { ...state, dischargePressure_Pa: 1e8 })).toThrow(RangeError);
  });
});
