import { describe, expect, it } from 'vitest';
import { OutOfRangeError } from '../units/index.js';
import { emptyCircuitSeries } from '../telemetry/circuit-series.js';
import { subcooling, subcoolingSeries, superheat, superheatSeries } from './superheat.js';

describe('superheat and subcooling', () => {
  it('take the dew side and the bubble side (COMPUTED, CoolProp 8.0.0: R407C at 5 bar, dew 2.36 C, bubble -3.85 C)', () => {
    expect(superheat('R407C', 5e5, 283.15)).toBeCloseTo(10 - 2.36, 2);
    expect(subcooling('R407C', 5e5, 263.15)).toBeCloseTo(-3.85 + 10, 2);
  });

  it('are zero at saturation (COMPUTED, CoolProp 8.0.0: R134a at 3 C 325.985 kPa, at 42 C 1072.228 kPa)', () => {
    expect(superheat('R134a', 325_984.93, 276.15)).toBeCloseTo(0, 3);
    expect(subcooling('R134a', 1_072_228.02, 315.15)).toBeCloseTo(0, 3);
  });

  it('are negative where vapour, or liquid, cannot be in equilibrium', () => {
    expect(superheat('R134a', 325_984.93, 274.15)).toBeCloseTo(-2, 3);
    expect(subcooling('R134a', 1_072_228.02, 318.15)).toBeCloseTo(-3, 3);
  });

  it('of a series are those of each sample, and NaN where a value is missing or absurd', () => {
    const series = emptyCircuitSeries(4);
    series.suctionPressure_Pa.set([325_984.93, NaN, 1, 325_984.93]);
    series.suctionTemperature_K.set([282.15, 282.15, 282.15, NaN]);
    series.dischargePressure_Pa.set([1_072_228.02, NaN, 1e9, 1_072_228.02]);
    series.liquidTemperature_K.set([310.15, 310.15, 310.15, NaN]);
    const held = superheatSeries('R134a', series);
    const cooled = subcoolingSeries('R134a', series);
    expect(held[0]).toBeCloseTo(6, 3);
    expect(cooled[0]).toBeCloseTo(5, 3);
    expect([...held.slice(1), ...cooled.slice(1)].every(Number.isNaN)).toBe(true);
  });

  it('of one value outside the table are refused', () => {
    expect(() => superheat('R134a', 1, 280)).toThrow(OutOfRangeError);
  });
});
