import { describe, expect, it } from 'vitest';
import { liquidDensity, saturationPressure, saturationTemperature } from '@coldrounds/core/refrigerants';
import { defaultDesign, physicsOf } from './design.js';
import { chokedDrop, motorAfterSecond, openFlow, stemAfter } from './valve.js';

describe('valve', () => {
  // Computed, CoolProp: Te 3 C / Tc 42 C, SC 5 K, SH 6 K, dp 0.95(pc-pe), Kv 1 m3/h, no flashing: upper bound of capacity.
  it.each([
    ['R134a', 123e3],
    ['R410A', 186e3],
    ['R32', 271e3],
    ['R1234ze(E)', 96e3],
  ])('Kv 1 m3/h gives %s its upper bound of capacity of %d W', (refrigerant, bound_W) => {
    const discharge_Pa = saturationPressure(refrigerant, 315.15, 'dew');
    const suction_Pa = saturationPressure(refrigerant, 276.15, 'dew');
    const liquid_K = saturationTemperature(refrigerant, discharge_Pa, 'bubble') - 5;
    const flow = openFlow(1, liquidDensity(refrigerant, liquid_K), 0.95 * (discharge_Pa - suction_Pa));
    const physics = physicsOf(
      defaultDesign({ refrigerant, capacity_W: 100e3, condenser: 'water', kv_m3_h: 1, condensing_K: 315.15 }),
    );
    const capacity_W = (flow * 100e3) / physics.nominalFlow_kg_s;
    expect(Math.abs(capacity_W / bound_W - 1)).toBeLessThan(0.02);
  });

  it('passes no more than the choked drop when the liquid flashes, and less of it with less subcooling', () => {
    const subcooled = chokedDrop(10e5, 8.7e5, 40.6e5);
    const saturated = chokedDrop(10e5, 10e5, 40.6e5);
    expect(saturated).toBeLessThan(subcooled);
    expect(subcooled).toBeLessThan(10e5);
  });

  it('goes from open to shut in about 6 s when fast', () => {
    // Common practice, no source: a fast valve goes from open to shut in about 6 s.
    let position = 2600;
    let seconds = 0;
    while (position > 0) {
      position = motorAfterSecond(position, 0, 430);
      seconds++;
    }
    expect(seconds).toBeGreaterThanOrEqual(6);
    expect(seconds).toBeLessThanOrEqual(7);
  });

  it('moves in whole steps', () => {
    expect(motorAfterSecond(100, 100.4, 50)).toBe(100);
    expect(motorAfterSecond(100, 103.6, 50)).toBe(104);
  });

  it('keeps a sticking stem until the motor is ahead by the stick, then lets it jump', () => {
    const friction = { stick_pct: 4, slip_pct: 0.5, backlash_pct: 0 };
    expect(stemAfter(50, 53.9, friction)).toBe(50);
    expect(stemAfter(50, 54.1, friction)).toBeCloseTo(53.6, 9);
    expect(stemAfter(50, 45.9, friction)).toBeCloseTo(46.4, 9);
  });
});
