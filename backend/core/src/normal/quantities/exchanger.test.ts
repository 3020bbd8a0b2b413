import { describe, expect, it } from 'vitest';
import { approachOf, conductance, transferUnitsOf } from './exchanger.js';

describe('an exchanger with one side at one temperature', () => {
  it('has the conductance of effectiveness-NTU', () => {
    // 20 l/s by 4.18 MJ/(m3 K) is 83.6 kW/K; ln(6.5/1.5) = 1.46634.
    expect(conductance(5, 1.5, 0.02)).toBeCloseTo(122_586, -1);
    // Effectiveness 5/6.5 = 0.769 = 1 - exp(-NTU).
    expect(1 - Math.exp(-transferUnitsOf(5, 1.5))).toBeCloseTo(5 / 6.5, 9);
    expect(approachOf(5, transferUnitsOf(5, 1.5))).toBeCloseTo(1.5, 9);
  });
  it('has none where its water would pass the refrigerant', () => {
    expect(conductance(5, -0.2, 0.02)).toBeNaN();
  });
});
