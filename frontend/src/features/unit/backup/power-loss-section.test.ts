import { describe, expect, it } from 'vitest';
import { passedWords } from './power-loss-section.js';

const passed = (refrigerantPassedAtMost_kg: number | null, wholeChargeCanHavePassed = false) =>
  passedWords({ refrigerantPassedAtMost_kg, wholeChargeCanHavePassed }, 'si');

describe('how much refrigerant can have passed a valve that lost its power', () => {
  it('is a bound, also where that is next to nothing or the whole charge', () => {
    expect(passed(0.12)).toBe('at most 120 g of refrigerant');
    expect(passed(0.0001)).toBe('under 1 g of refrigerant');
    expect(passed(25, true)).toBe('up to the whole charge of refrigerant, 25 kg,');
  });
  it('is said to be unknown where it is', () => {
    expect(passed(null)).toBe('an unknown mass of refrigerant');
  });
});
