import { describe, expect, it } from 'vitest';
import { isUsedUp, placing, widened } from './moved-picture.js';

const all = { from_s: -1e9, to_s: 1e9 };

describe('a picture that was drawn before', () => {
  it('lies where it is where the same is shown, its margins outside', () => {
    const shown = { from_s: 1000, to_s: 2000 };
    expect(placing(widened(shown), 1500, shown, 1000)).toEqual({ shift: -250, stretch: 1 });
  });
  it('follows a drag by as much as the pointer goes', () => {
    const shown = { from_s: 1000, to_s: 2000 };
    const later = { from_s: 1137, to_s: 2137 };
    expect(placing(widened(shown), 1500, later, 1000)).toEqual({ shift: -387, stretch: 1 });
  });
  it('puts every time where a picture drawn anew would have it', () => {
    const drawn = widened({ from_s: 300, to_s: 900 });
    const shown = { from_s: 420, to_s: 640 };
    const { shift, stretch } = placing(drawn, 1200, shown, 800);
    for (const at_s of [420, 500, 640]) {
      const inPicture = ((at_s - drawn.from_s) / (drawn.to_s - drawn.from_s)) * 1200;
      expect(shift + stretch * inPicture).toBeCloseTo(((at_s - 420) / 220) * 800, 9);
    }
  });
  it('is used up where readings are to be seen that are not in it', () => {
    const drawn = { from_s: 100, to_s: 200 };
    expect(isUsedUp(drawn, 1, { from_s: 110, to_s: 190 }, all)).toBe(false);
    expect(isUsedUp(drawn, 1, { from_s: 99, to_s: 150 }, all)).toBe(true);
    expect(isUsedUp(drawn, 1, { from_s: 150, to_s: 201 }, all)).toBe(true);
    // No reading lies there: nothing is missing.
    expect(isUsedUp(drawn, 1, { from_s: 50, to_s: 150 }, { from_s: 100, to_s: 200 })).toBe(false);
    expect(isUsedUp(drawn, 1, { from_s: 150, to_s: 250 }, { from_s: 100, to_s: 200 })).toBe(false);
  });
  it('is used up where it would be stretched or squeezed too far', () => {
    const drawn = { from_s: 0, to_s: 1000 };
    expect(isUsedUp(drawn, 3.1, { from_s: 400, to_s: 500 }, all)).toBe(true);
    expect(isUsedUp(drawn, 0.3, { from_s: 0, to_s: 1000 }, all)).toBe(true);
  });
});
