import { describe, expect, it } from 'vitest';
import { areaNeeded, evaporatingLostToSuperheat, logMean, type EvaporatorState } from './superheat-zone.js';

const state: EvaporatorState = {
  ...{ refrigerant: 'R134a', enteringWater_K: 285.65, leavingWater_K: 280.15 },
  ...{ evaporating_K: 275.15, superheat_K: 8, effect_J_kg: 155_035 },
};

describe('an evaporator with a zone in which vapour is superheated', () => {
  // COMPUTED, CoolProp 8.0.0 and numpy: counterflow integrated over 200,000 slices of equal heat, the vapour's
  // temperature from its enthalpy at 2 C: area per heat, and how much higher the same area would evaporate with 5 K of
  // superheat instead of 8 K.
  it.each([
    [0.08, 0.23606, 1.675],
    [0.25, 0.16422, 0.724],
  ])('of conductances 1 to %s has the area and the rise that integration gives', (ratio, area, rise) => {
    expect(areaNeeded(state, ratio) / area).toBeCloseTo(1, 2);
    expect(evaporatingLostToSuperheat(state, 3, ratio)).toBeCloseTo(rise, 1);
  });

  it('has no zone without superheat: the area is that of boiling alone', () => {
    // Closed form: 1/LMTD of 10.5 K and 5 K = ln(10.5/5)/5.5.
    expect(areaNeeded({ ...state, superheat_K: 0 }, 0.1)).toBeCloseTo(Math.log(10.5 / 5) / 5.5, 9);
  });

  it('loses nothing where superheat stays, and more the more it falls', () => {
    expect(evaporatingLostToSuperheat(state, 0, 0.1)).toBeNull();
    const lost = [1, 2, 3, 4].map((less) => evaporatingLostToSuperheat(state, less, 0.1)!);
    for (let k = 1; k < lost.length; k++) expect(lost[k]).toBeGreaterThan(lost[k - 1]);
    // Never more than the whole approach.
    expect(evaporatingLostToSuperheat(state, 8, 0.08)!).toBeLessThan(5);
  });

  it('is none where vapour would leave as warm as the water', () => {
    expect(evaporatingLostToSuperheat({ ...state, superheat_K: 10.6 }, 3, 0.1)).toBeNull();
    expect(evaporatingLostToSuperheat({ ...state, leavingWater_K: 275 }, 3, 0.1)).toBeNull();
    expect(evaporatingLostToSuperheat({ ...state, enteringWater_K: NaN }, 3, 0.1)).toBeNull();
  });
});

describe('the logarithmic mean of two differences', () => {
  it('lies between them and becomes their mean where they are alike', () => {
    // Closed form: (10 - 5)/ln 2.
    expect(logMean(10, 5)).toBeCloseTo(5 / Math.LN2, 9);
    expect(logMean(5, 5)).toBe(5);
    expect(logMean(5, 0)).toBeNaN();
  });
});
