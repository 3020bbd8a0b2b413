import { describe, expect, it } from 'vitest';
import { normalDraws, seededRandom } from '../../numerics/index.js';
import {
  isentropicDischarge,
  saturationPressure,
  vapourEnthalpy,
  vapourTemperatureFromEnthalpy,
} from '../../refrigerants/index.js';
import type { LogTable } from '../../log/log-columns.js';
import type { EvaporatorType } from '../../telemetry/registry.js';
import { assessLog } from './assess-log.js';

const kelvin = 273.15;
const at = (celsius: number) => saturationPressure('R134a', celsius + kelvin, 'dew');
const step_s = 120;
/** A body follows by first order. */
const toward = (from: number, to: number, time_s: number) => to - (to - from) * Math.exp(-step_s / time_s);

/**
 * Ten days of an invented chiller with a flooded evaporator in a laboratory, in health: 14 hours a day another condition
 * every 40 minutes, and the night at rest with its pumps on, the pressures apart. Superheat is 0.5 to 3 K, efficiency
 * changes with load and lift. It has no valve, load or setpoint to send.
 */
function laboratoryDays(): Record<string, number[]> {
  const random = seededRandom(20_261_128);
  const normal = normalDraws(random);
  const log: Record<string, number[]> = {};
  const put = (name: string, value: number) => (log[name] ??= []).push(value);
  let condition = { tower: 24, leaving: 7, load: 0.6 };
  let evaporating = 10;
  let condensing = 22;
  let discharge = 22;
  let suction = 12;
  for (let t = 0; t < 10 * 86_400; t += step_s) {
    if (t % 2400 < step_s)
      condition = { tower: 16 + 14 * random(), leaving: 4 + 6 * random(), load: 0.25 + 0.7 * random() };
    const { tower, leaving, load } = condition;
    const hour = (t / 3600) % 24;
    const runs = hour >= 8 && hour < 22;
    const range = runs ? 5.5 * load : 0;
    if (runs) {
      evaporating = toward(evaporating, leaving - 0.5 - 2.5 * load, 200);
      condensing = toward(condensing, Math.max(evaporating + 4, tower + 6.3 * load + 0.8), 200);
      const inlet_K = evaporating + 0.4 + 2.5 * load + kelvin;
      const efficiency = 0.45 + 0.35 * load - 0.004 * (condensing - evaporating - 20);
      const rise = isentropicDischarge('R134a', at(evaporating), inlet_K, at(condensing)).enthalpyRise_J_kg;
      const enthalpy = vapourEnthalpy('R134a', at(evaporating), inlet_K) + rise / efficiency;
      discharge = toward(
        discharge,
        vapourTemperatureFromEnthalpy('R134a', at(condensing), enthalpy) - kelvin,
        250,
      );
      suction = toward(suction, inlet_K - kelvin, 60);
    } else {
      evaporating = toward(evaporating, 14, 4000);
      condensing = toward(condensing, 23, 3000);
      discharge = toward(discharge, 22, 3000);
      suction = toward(suction, 20, 4000);
    }
    const water = runs ? leaving : evaporating;
    put('time_s', t);
    put('suction_pressure_Pa', at(evaporating) + 700 * normal());
    put('discharge_pressure_Pa', at(condensing) + 700 * normal());
    put('suction_temperature_C', Math.round(10 * (suction + 0.05 * normal())) / 10);
    put('discharge_temperature_C', Math.round(10 * (discharge + 0.05 * normal())) / 10);
    put('entering_temperature_C', water + range + 0.03 * normal());
    put('leaving_temperature_C', water + 0.03 * normal());
    put('flow_m3_s', 0.015);
    put('condenser_leaving_temperature_C', (runs ? tower + range : condensing) + 0.03 * normal());
    put('compressor_power_kW', runs ? 20 + 40 * load : 0);
  }
  return log;
}
const log = laboratoryDays();
const without = (...names: string[]): LogTable =>
  Object.fromEntries(Object.entries(log).filter(([name]) => !names.includes(name)));
const said = (table: LogTable, evaporator: EvaporatorType) => {
  const { sensors, assessment } = assessLog(table, 'R134a', { evaporator });
  return [...sensors.findings, ...assessment.findings].map(({ condition, urgency }) => [condition, urgency]);
};
const logs = [
  { sent: 'all', names: [] },
  { sent: 'no power', names: ['compressor_power_kW'] },
  { sent: 'neither power nor water', names: ['compressor_power_kW', 'entering_temperature_C'] },
];

describe('a flooded laboratory chiller through twenty conditions a day', () => {
  it.each(logs)('gives no finding as what it is ($sent sent)', ({ names }) => {
    expect(said(without(...names), 'flooded')).toEqual([]);
  });

  it.each(logs)('is only watched where nobody said that it is flooded ($sent sent)', ({ names }) => {
    expect(said(without(...names), 'dry-expansion')).toEqual([['floodback-risk', 'watch']]);
  });

  it.each(logs.slice(0, 2))(
    'runs for 14 hours a day: not by night, with its pressures apart ($sent sent)',
    ({ names }) => {
      const { windows } = assessLog(without(...names), 'R134a', { evaporator: 'flooded' });
      const steady_h = windows.reduce((sum, { minutes }) => sum + minutes.steady, 0) / 60;
      expect(steady_h).toBeGreaterThan(125);
      expect(steady_h).toBeLessThan(148);
    },
  );
});
