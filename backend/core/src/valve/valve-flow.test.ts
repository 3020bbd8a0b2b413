import { describe, expect, it } from 'vitest';
import { valveFlow_kg_s } from './valve-flow.js';

describe('the flow through a valve', () => {
  it('is that of IEC 60534: R134a at 37 °C, Kv 1, half open, 6 bar', () => {
    // 0.5 sqrt(1000 * 1156 * 6)/3600, density by CoolProp 8.0.0 at 310.15 K.
    const flow = valveFlow_kg_s('R134a', { kv_m3_h: 1, motors: 1 }, 50, 310.15, 6e5);
    expect(flow).toBeCloseTo((0.5 * Math.sqrt(1000 * 1156 * 6)) / 3600, 2);
    expect(valveFlow_kg_s('R134a', { kv_m3_h: 0, motors: 1 }, 50, 310.15, 6e5)).toBeNaN();
  });
});
