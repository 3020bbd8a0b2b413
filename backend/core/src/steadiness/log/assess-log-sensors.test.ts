import { describe, expect, it } from 'vitest';
import { saturationPressure, saturationTemperature } from '../../refrigerants/index.js';
import { assessLog } from './assess-log.js';

const atmosphere_psi = 14.696;
const kelvin = (fahrenheit: number) => (fahrenheit + 459.67) / 1.8;

/** PUBLISHED, measured: ASHRAE RP-1043 (Comstock & Braun 1999), normal run, R134a: psig, saturation and suction in F. */
const measured = [
  { pressure_psig: 37.2, saturation_F: 42.1, suction_F: 46.8 },
  { pressure_psig: 39.2, saturation_F: 44.0, suction_F: 49.8 },
  { pressure_psig: 32.7, saturation_F: 37.4, suction_F: 38.2 },
] as const;

/** Eight hours at 10 s at one of the measured states, the water two kelvins over saturation. */
function running({ pressure_psig, suction_F, saturation_F }: (typeof measured)[number], added_psi = 0) {
  const rows = 2880;
  const fill = (value: (k: number) => number) => Array.from({ length: rows }, (_, k) => value(k));
  // What a recorder of 12 bit leaves of a value that stands: its last digit.
  const digit = (k: number) => (k * 7919) % 5;
  return {
    time_s: fill((k) => 10 * k),
    suction_pressure_psi: fill((k) => pressure_psig + added_psi + 0.01 * digit(k)),
    suction_temperature_F: fill((k) => suction_F + 0.02 * digit(k)),
    compressor_load_pct: fill((k) => 70 + 0.1 * digit(k)),
    entering_temperature_C: fill((k) => kelvin(saturation_F) - 273.15 + 7 + 0.01 * digit(k)),
    leaving_temperature_C: fill((k) => kelvin(saturation_F) - 273.15 + 2 + 0.01 * digit(k)),
  };
}

describe('a log of a healthy laboratory chiller with a flooded evaporator', () => {
  it.each(measured)('at $pressure_psig psig yields no finding of any kind', (state) => {
    const found = assessLog(running(state, atmosphere_psi), 'R134a', { evaporator: 'flooded' });
    expect(found.assessment.findings).toEqual([]);
    expect(found.sensors.findings).toEqual([]);
  });
});

describe('a log of a machine that stops for six minutes twice', () => {
  /** Two days at 30 s; pressure in bar as the transducer gives it, less `short_bar`. */
  function table(short_bar: number) {
    const time_s: number[] = [];
    const bar: number[] = [];
    const suction_C: number[] = [];
    const load: number[] = [];
    const entering: number[] = [];
    const leaving: number[] = [];
    let saturation_K = 276.15;
    for (let t = 0; t < 2 * 86_400; t += 30) {
      const stopped = t % 86_400 > 43_200 && t % 86_400 <= 43_560;
      const water_K = 280.15 + 0.3 * Math.sin(t / 5000);
      saturation_K += ((stopped ? water_K : 276.15) - saturation_K) * (1 - Math.exp(-30 / 150));
      time_s.push(t);
      bar.push(saturationPressure('R134a', saturation_K, 'dew') / 1e5 - short_bar + 1e-4 * (t % 7));
      suction_C.push(saturation_K + 6 - 273.15 + 0.01 * (t % 7));
      load.push(stopped ? 0 : 70 + 0.01 * (t % 11));
      entering.push(water_K + (stopped ? 0 : 5) - 273.15);
      leaving.push(water_K - 273.15);
    }
    return {
      time_s,
      suction_pressure_bar: bar,
      suction_temperature_C: suction_C,
      compressor_load_pct: load,
      entering_temperature_C: entering,
      leaving_temperature_C: leaving,
      superheat_setpoint_K: time_s.map(() => 6),
    };
  }

  it('is read as it is where the header is right: saturation meets the water', () => {
    const { sensors } = assessLog(table(0), 'R134a');
    expect(sensors.findings).toEqual([]);
    const { offset_K, uncertainty_K } = sensors.saturationAgainstWater!.together!;
    expect(Math.abs(offset_K)).toBeLessThan(2 * uncertainty_K);
  });

  it('shows gauge pressure under an absolute header, and its superheat is judged corrected', () => {
    const { sensors, assessment } = assessLog(table(1.01325), 'R134a');
    expect(sensors.findings.map(({ condition }) => condition)).toEqual(['gauge-taken-for-absolute']);
    expect(sensors.findings[0]!.error).toMatchObject({ bias: -101_325 });
    // As read superheat is far over its setpoint; the true 6 K are what was asked for.
    const wrong_K =
      276.15 +
      6 -
      saturationTemperature('R134a', saturationPressure('R134a', 276.15, 'dew') - 101_325, 'dew');
    expect(wrong_K).toBeGreaterThan(14);
    expect(assessment.findings).toEqual([]);
  });
});
