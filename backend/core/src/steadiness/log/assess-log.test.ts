import { describe, expect, it } from 'vitest';
import { saturationPressure } from '../../refrigerants/index.js';
import { assessLog } from './assess-log.js';
import { readLogColumns } from '../../log/log-columns.js';

describe("a logger's columns", () => {
  it('are read by name, in any common unit', () => {
    const { series, warnings } = readLogColumns({
      'Time (s)': [0, 10],
      'suction-pressure_psig': [0, 10],
      suction_temperature_F: [32, 50],
      discharge_pressure_kPa: [1000, 1100],
      liquid_temperature_degC: [30, 31],
      superheat_setpoint_F: [9, 9],
      valve_opening_pct: ['40', ''],
      humidity_pct: [50, 50],
    });
    expect([...series.suctionPressure_Pa].map(Math.round)).toEqual([101_325, 101_325 + 68_948]);
    expect(series.suctionTemperature_K[0]).toBeCloseTo(273.15, 9);
    expect(series.suctionTemperature_K[1]).toBeCloseTo(283.15, 9);
    expect(series.dischargePressure_Pa[0]).toBe(1e6);
    expect(series.liquidTemperature_K[0]).toBeCloseTo(303.15, 9);
    expect(series.superheatSetpoint_K[0]).toBeCloseTo(5, 9);
    expect(series.valveOpening_pct[0]).toBe(40);
    expect(series.valveOpening_pct[1]).toBeNaN();
    expect(warnings.join()).toContain('humidity_pct');
  });

  it('hold the water and condenser sides and the power', () => {
    const { series, warnings } = readLogColumns({
      time_s: [0],
      entering_temperature_C: [12],
      flow_l_s: [13.5],
      condenser_entering_temperature_F: [85],
      condenser_leaving_temperature_C: [34.5],
      condenser_flow_gpm: [270],
      condenser_fan_speed_pct: [70],
      compressor_power_kW: [61.2],
    });
    expect(warnings).toEqual([]);
    expect(series.enteringWaterTemperature_K[0]).toBeCloseTo(285.15, 9);
    expect(series.waterFlow_m3_s[0]).toBeCloseTo(0.0135, 9);
    expect(series.condenserEnteringTemperature_K[0]).toBeCloseTo(302.594, 3);
    expect(series.condenserLeavingTemperature_K[0]).toBeCloseTo(307.65, 9);
    expect(series.condenserFlow_m3_s[0]).toBeCloseTo(0.017034, 6);
    expect(series.condenserFanSpeed_pct[0]).toBe(70);
    expect(series.compressorPower_W[0]).toBeCloseTo(61_200, 6);
  });

  it('take ISO times as UTC and put rows in order', () => {
    const { series, warnings } = readLogColumns({
      time: ['2026-06-01T00:00:10Z', '2026-06-01 00:00:00', 'soon', '2026-06-01T02:00:10+02:00'],
      valve_opening_pct: [2, 1, 3, 4],
    });
    expect(series.time_s[0]).toBe(Date.UTC(2026, 5, 1) / 1000);
    expect([...series.valveOpening_pct]).toEqual([1, 2]);
    expect(warnings).toHaveLength(3);
  });

  it('are refused without a time or with a unit that is not known', () => {
    expect(() => readLogColumns({ valve_opening_pct: [1] })).toThrow(/time/);
    const { warnings } = readLogColumns({ time_s: [0], suction_pressure_fathom: [1] });
    expect(warnings[0]).toContain('fathom');
  });
});

describe('the assessment of a log', () => {
  const n = 1440;
  const table = {
    time_s: Array.from({ length: n }, (_, i) => 10 * i),
    suction_pressure_Pa: new Array<number>(n).fill(saturationPressure('R134a', 276.15, 'dew')),
    suction_temperature_K: Array.from(
      { length: n },
      (_, i) => 276.15 + 6 + 2 * Math.sin((2 * Math.PI * i) / 20),
    ),
    valve_opening_pct: Array.from({ length: n }, (_, i) => 40 + 8 * Math.sin((2 * Math.PI * i) / 20 - 0.3)),
  };

  it('finds the cycle, its cause and the wear, and says what is missing', () => {
    const result = assessLog(table, 'R134a');
    expect(result.windows).toHaveLength(2);
    expect(result.assessment.hunting!.period_s).toBeCloseTo(200, 0);
    expect(result.assessment.hunting!.amplitude_K).toBeCloseTo(2, 1);
    expect(result.windows[0]!.readings.length).toBeGreaterThan(4);
    expect(result.warnings.some((warning) => warning.includes('compressor load'))).toBe(true);
    expect(JSON.parse(JSON.stringify(result))).toEqual(result);
  });

  it('says that there is too little of it', () => {
    const short = Object.fromEntries(
      Object.entries(table).map(([name, column]) => [name, column.slice(0, 20)]),
    );
    const { warnings, assessment } = assessLog(short, 'R134a');
    expect(warnings.some((warning) => warning.startsWith('Too little'))).toBe(true);
    expect(assessment.findings).toEqual([]);
  });
});
