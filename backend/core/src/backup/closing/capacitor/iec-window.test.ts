import { describe, expect, it } from 'vitest';
import { crossing, valueAt, windowBottom, windowCapacitance, windowTop } from './iec-window.js';

// IEC 62391-1, method 1A (from memory): between 80 and 40 % of the rated voltage.
describe('the window of the standard', () => {
  it('reaches from 80 to 40 % of the rated voltage', () => {
    expect([windowTop, windowBottom]).toEqual([0.8, 0.4]);
  });
});

describe('the first fall through a level', () => {
  const voltage_V = [20, 18, 14, 13, 15, 10];

  it('lies on the straight line between the sample above and the one at or under it', () => {
    expect(crossing(voltage_V, 16, 0, 5)).toEqual({ index: 1, fraction: 0.5 });
    expect(crossing(voltage_V, 14, 0, 5)).toEqual({ index: 1, fraction: 1 });
    expect(crossing(voltage_V, 20, 0, 5)).toEqual({ index: 0, fraction: 0 });
    expect(crossing(voltage_V, 13.75, 2, 5)).toEqual({ index: 2, fraction: 0.25 });
  });

  it('is none where the curve begins under it, or does not come down to it in time', () => {
    expect(crossing(voltage_V, 20.1, 0, 5)).toBeNull();
    expect(crossing(voltage_V, 9.9, 0, 5)).toBeNull();
    expect(crossing(voltage_V, 12, 0, 4)).toBeNull();
    expect(crossing(voltage_V, 12, 0, 5)).toEqual({ index: 4, fraction: 0.6 });
  });

  it('gives the value of another column at the same place', () => {
    expect(valueAt([0, 10, 30, 40], { index: 1, fraction: 0.25 })).toBe(15);
    expect(valueAt([0, 10, 30, 40], { index: 2, fraction: 1 })).toBe(40);
  });
});

describe('capacitance between two crossings', () => {
  it('is charge over voltage: 6 C over 8 V; a tenth of the wider spacing unsure at either end', () => {
    // From 1.5 s to 5 s: spacings of 1 s and 2 s, the wider is 2 s: 0.75 F x 0.1 x root 2 x 2 s / 3.5 s.
    const found = windowCapacitance(
      6,
      8,
      [0, 1, 2, 4, 6],
      { index: 1, fraction: 0.5 },
      { index: 3, fraction: 0.5 },
    );
    expect(found.method).toBe('iec-window');
    expect(found.capacitance_F).toBe(0.75);
    expect(found.capacitanceUncertainty_F).toBeCloseTo((0.75 * 0.1 * Math.SQRT2 * 2) / 3.5, 12);
    const reversed = windowCapacitance(
      6,
      8,
      [0, 2, 4, 5, 6],
      { index: 0, fraction: 0.5 },
      { index: 3, fraction: 0.5 },
    );
    expect(reversed.capacitanceUncertainty_F).toBeCloseTo((0.75 * 0.1 * Math.SQRT2 * 2) / 4.5, 12);
  });
});
