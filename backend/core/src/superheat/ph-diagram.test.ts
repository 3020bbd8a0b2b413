import { describe, expect, it } from 'vitest';
import { refrigerantNames } from '../refrigerants/index.js';
import { ArgumentError } from '../units/index.js';
import { cyclePoints, phDome } from './ph-diagram.js';

/** COMPUTED, CoolProp 8.0.0, R134a: 3 C and 42 C of evaporating and condensing, 6 K superheat, 60 C discharge, 5 K subcooling. */
const cycle = {
  refrigerant: 'R134a',
  suctionPressure_Pa: 325_984.93,
  suctionTemperature_K: 282.15,
  dischargePressure_Pa: 1_072_228.02,
  dischargeTemperature_K: 333.15,
  liquidTemperature_K: 310.15,
};
const computed = {
  suction: 7176.05,
  discharge: 41616.27,
  'condenser-dew': 21680.41,
  'condenser-bubble': -139197.26,
  liquid: -146650.63,
  'evaporator-inlet': -146650.63,
  'evaporator-dew': 1740.45,
};

describe('the dome of the pressure-enthalpy diagram', () => {
  it('passes through saturation at -40, 0 and 40 C (COMPUTED, CoolProp 8.0.0)', () => {
    const { liquid, vapour } = phDome('R134a', 2000);
    for (const [pressure_Pa, liquidEnthalpy, vapourEnthalpy] of [
      [51_208.98, -250_459.41, -24_600.51],
      [292_803.18, -198_603.47, 0],
      [1_016_593.02, -142_194.21, 20_825.07],
    ] as const) {
      expect(Math.abs(at(liquid, pressure_Pa) - liquidEnthalpy)).toBeLessThan(15);
      expect(Math.abs(at(vapour, pressure_Pa) - vapourEnthalpy)).toBeLessThan(15);
    }
  });

  it.each(refrigerantNames())('of %s rises on both sides and keeps liquid left of vapour', (name) => {
    const { liquid, vapour } = phDome(name);
    expect(liquid.length).toBe(80);
    for (let i = 0; i < 80; i++) {
      expect(liquid[i].enthalpy_J_kg).toBeLessThan(vapour[i].enthalpy_J_kg);
      if (i === 0) continue;
      expect(liquid[i].pressure_Pa).toBeGreaterThan(liquid[i - 1].pressure_Pa);
      expect(vapour[i].pressure_Pa).toBeGreaterThan(vapour[i - 1].pressure_Pa);
      expect(liquid[i].enthalpy_J_kg).toBeGreaterThan(liquid[i - 1].enthalpy_J_kg);
    }
  });

  it('needs at least two points', () => {
    expect(() => phDome('R134a', 1)).toThrow(ArgumentError);
    expect(() => phDome('R134a', 2.5)).toThrow(ArgumentError);
  });
});

/** Enthalpy of a line at a pressure, straight between its points over the logarithm of pressure. */
function at(line: { enthalpy_J_kg: number; pressure_Pa: number }[], pressure_Pa: number): number {
  const i = line.findIndex((point) => point.pressure_Pa >= pressure_Pa);
  const [a, b] = [line[i - 1], line[i]];
  const fraction = Math.log(pressure_Pa / a.pressure_Pa) / Math.log(b.pressure_Pa / a.pressure_Pa);
  return a.enthalpy_J_kg + fraction * (b.enthalpy_J_kg - a.enthalpy_J_kg);
}

describe('the cycle', () => {
  it('has its corners in flow order at the computed states (COMPUTED, CoolProp 8.0.0)', () => {
    const result = cyclePoints(cycle);
    if (!result.drawable) throw new Error(`not drawable: ${result.argument}`);
    expect(result.points.map(({ place }) => place)).toEqual(Object.keys(computed));
    for (const { place, enthalpy_J_kg } of result.points) {
      // The tables must hold 0.15 kJ/kg; here they are far better.
      expect(Math.abs(enthalpy_J_kg - computed[place]), place).toBeLessThan(15);
    }
    expect(result.refrigeratingEffect_J_kg).toBeCloseTo(7176.05 + 146_650.63, -2);
    expect(result.compression_J_kg).toBeCloseTo(41_616.27 - 7176.05, -2);
  });

  it('of a single substance enters the evaporator at its saturation temperature', () => {
    const result = cyclePoints(cycle);
    const inlet = result.drawable && result.points.find(({ place }) => place === 'evaporator-inlet');
    expect(inlet && inlet.temperature_K).toBeCloseTo(276.15, 3);
  });

  it('of a blend enters the evaporator between its bubble and its dew point', () => {
    const result = cyclePoints({
      ...cycle,
      refrigerant: 'R407C',
      suctionPressure_Pa: 5e5,
      suctionTemperature_K: 283.15,
      dischargePressure_Pa: 17e5,
      dischargeTemperature_K: 345,
    });
    const inlet = result.drawable && result.points.find(({ place }) => place === 'evaporator-inlet');
    // COMPUTED, CoolProp 8.0.0: bubble -3.85 C, dew 2.36 C at 5 bar.
    expect(inlet && inlet.temperature_K).toBeGreaterThan(273.15 - 3.85);
    expect(inlet && inlet.temperature_K).toBeLessThan(273.15 + 2.36);
  });

  it.each([
    [{ suctionTemperature_K: NaN }, 'suctionTemperature_K', 'missing'],
    [{ suctionTemperature_K: 275 }, 'suctionTemperature_K', 'wet'],
    [{ dischargeTemperature_K: 310 }, 'dischargeTemperature_K', 'wet'],
    [{ liquidTemperature_K: 318 }, 'liquidTemperature_K', 'wet'],
    [{ suctionPressure_Pa: 10 }, 'suctionPressure_Pa', 'out-of-range'],
    [{ dischargePressure_Pa: 9e6 }, 'dischargePressure_Pa', 'out-of-range'],
    [{ dischargeTemperature_K: 600 }, 'dischargeTemperature_K', 'out-of-range'],
    [{ liquidTemperature_K: 100 }, 'liquidTemperature_K', 'out-of-range'],
  ])('with %o is not drawn, and %s is named (%s)', (change, argument, reason) => {
    expect(cyclePoints({ ...cycle, ...change })).toEqual({ drawable: false, argument, reason });
  });
});
