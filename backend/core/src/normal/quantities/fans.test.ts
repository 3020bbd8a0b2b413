import { describe, expect, it } from 'vitest';
import { exponentOfFans, shareOfFullFans, unitsAtFans } from './fans.js';

describe('what air takes up at slower fans', () => {
  it('is all at full speed, and where no speed is sent', () => {
    for (const speed of [100, 130, NaN]) expect(shareOfFullFans(speed)).toBe(1);
  });

  it('falls less than the speed, as slow air leaves warmer (effectiveness-NTU)', () => {
    // 40 %: conductance 1 / (0.8 / sqrt(0.4) + 0.2) = 0.683, NTU = 1.3 * 0.683 / 0.4 = 2.22, e = 0.891 over 0.727 at 1.3.
    expect(shareOfFullFans(40)).toBeCloseTo((0.4 * 0.891) / 0.727, 2);
    expect(unitsAtFans(40)).toBeCloseTo(2.22, 2);
  });

  it('has the slope that its exponent says', () => {
    const measured = Math.log(shareOfFullFans(61) / shareOfFullFans(59)) / Math.log(61 / 59);
    expect(exponentOfFans(60)).toBeCloseTo(measured, 3);
  });
});
