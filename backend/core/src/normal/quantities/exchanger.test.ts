import { describe, expect, it } from 'vitest';
import { approachOf, conductance, transferUnitsOf, valveFlow_kg_s } from './exchanger.js';

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

describe('the flow through a valve', () => {
  it('is that of IEC 60534: R134a at 37 °C, Kv 1, half open, 6 bar', () => {
    // 0.5 sqrt(1000 * 1156 * 6)/3600, density by CoolProp 8.0.0 at 310.15 K.
    const flow = valveFlow_kg_s('R134a', { kv_m3_h: 1, motors: 1 }, 50, 310.15, 6e5);
    expect(flow).toBeCloseTo((0.5 * Math.sqrt(1000 * 1156 * 6)) / 3600, 2);
    expect(valveFlow_kg_s('R134a', { kv_m3_h: 0, motors: 1 }, 50, 310.15, 6e5)).toBeNaN();
  });
});
