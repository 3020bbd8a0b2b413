import { describe, expect, it } from 'vitest';
import { saturationPressure } from '../../refrigerants/index.js';
import { emptyCircuitSeries } from '../../telemetry/circuit-series.js';
import { companionOf } from './companion.js';

const psat = (temperature_K: number) => saturationPressure('R134a', temperature_K, 'dew');
/** Evaporating at 278 K and condensing at 308 K, liquid at 303 K. */
const series = emptyCircuitSeries(3);
for (let i = 0; i < 3; i++) {
  series.suctionPressure_Pa[i] = psat(278);
  series.dischargePressure_Pa[i] = psat(308);
  series.suctionTemperature_K[i] = 284;
  series.dischargeTemperature_K[i] = 330;
  series.liquidTemperature_K[i] = 303;
}
const of = (sensor: Parameters<typeof companionOf>[0], from = series) =>
  companionOf(sensor, from, 'R134a', { resolution: 1000, deadband: 3000 });
/** Kelvins for each pascal along the dew line, by its own pressures. */
const slope = (temperature_K: number) => 0.2 / (psat(temperature_K + 0.1) - psat(temperature_K - 0.1));

describe('what moves along with a sensor', () => {
  it('is for a thermometer the saturation temperature of its side, with its own step and deadband', () => {
    for (const [sensor, saturation_K] of [
      ['suction-temperature', 278],
      ['discharge-temperature', 308],
      ['liquid-temperature', 308],
    ] as const) {
      expect(of(sensor).temperature_K[1]).toBeCloseTo(saturation_K, 3);
      expect(of(sensor).step_K).toBe(4000);
    }
  });

  it('is for a pressure the thermometer of its side, with the step along the saturation line', () => {
    expect(of('suction-pressure').temperature_K[0]).toBe(284);
    expect(of('suction-pressure').step_K / (4000 * slope(278))).toBeCloseTo(1, 2);
    expect(of('discharge-pressure').temperature_K[0]).toBe(303);
    expect(of('discharge-pressure').step_K / (4000 * slope(308))).toBeCloseTo(1, 2);
  });

  it('is the discharge temperature where no liquid temperature is sent', () => {
    const without = { ...series, liquidTemperature_K: new Float64Array(3).fill(NaN) };
    expect(of('discharge-pressure', without).temperature_K[0]).toBe(330);
    const once = { ...series, liquidTemperature_K: Float64Array.from([NaN, 303, NaN]) };
    expect(of('discharge-pressure', once).temperature_K[1]).toBe(303);
  });

  it('has no step where the pressure is outside the table', () => {
    const out = { ...series, suctionPressure_Pa: new Float64Array(3).fill(9e7) };
    expect(of('suction-pressure', out).step_K).toBe(0);
  });
});
