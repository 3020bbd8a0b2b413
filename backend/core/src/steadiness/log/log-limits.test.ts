import { describe, expect, it } from 'vitest';
import { saturationPressure } from '../../refrigerants/index.js';
import { assessLog } from './assess-log.js';
import { readLogColumns } from '../../log/log-columns.js';

const pressure_Pa = saturationPressure('R134a', 276.15, 'dew');
/** A log every 10 s of 6 K with a little ripple; columns may be left out. */
function log(n: number, without: string[] = [], extra: Record<string, number[]> = {}) {
  const column = (of: (i: number) => number) => Array.from({ length: n }, (_, i) => of(i));
  const all: Record<string, number[]> = {
    time_s: column((i) => 1000 + 10 * i),
    suction_pressure_Pa: column(() => pressure_Pa),
    suction_temperature_K: column((i) => 276.15 + 6 + 0.1 * Math.sin(i * i)),
    valve_opening_pct: column(() => 45),
    compressor_load_pct: column(() => 70),
    superheat_setpoint_K: column(() => 6),
    ...extra,
  };
  return Object.fromEntries(Object.entries(all).filter(([name]) => !without.includes(name)));
}

describe('the columns of a log', () => {
  it('become the signal that their name says', () => {
    const named = {
      suction_pressure_pa: 'suctionPressure_Pa',
      suction_temperature_k: 'suctionTemperature_K',
      valve_opening_pct: 'valveOpening_pct',
      discharge_pressure_pa: 'dischargePressure_Pa',
      discharge_temperature_k: 'dischargeTemperature_K',
      liquid_temperature_k: 'liquidTemperature_K',
      superheat_setpoint_k: 'superheatSetpoint_K',
      compressor_load_pct: 'compressorLoad_pct',
      entering_temperature_k: 'enteringWaterTemperature_K',
      leaving_temperature_k: 'leavingWaterTemperature_K',
      flow_m3_s: 'waterFlow_m3_s',
      condenser_entering_temperature_k: 'condenserEnteringTemperature_K',
      condenser_leaving_temperature_k: 'condenserLeavingTemperature_K',
      condenser_flow_m3_s: 'condenserFlow_m3_s',
      condenser_fan_speed_pct: 'condenserFanSpeed_pct',
      compressor_power_w: 'compressorPower_W',
      ambient_temperature_k: 'ambientTemperature_K',
    };
    const table = {
      time_s: [0],
      ...Object.fromEntries(Object.keys(named).map((name, k) => [name, [k + 1]])),
    };
    const { series, read, warnings, gauge } = readLogColumns(table);
    expect(warnings).toEqual([]);
    expect(gauge).toEqual([]);
    expect(Object.fromEntries(read.map(({ name, column }) => [name, column]))).toEqual(named);
    Object.values(named).forEach((column, k) => expect(series[column as keyof typeof series][0]).toBe(k + 1));
  });

  it('of a temperature are not gauge pressures, nor the other way round', () => {
    const { read, warnings } = readLogColumns({ time_s: [0], suction_temperature_barg: [1], flow_pa: [1] });
    expect(read).toEqual([]);
    expect(warnings).toEqual([
      'Column "suction_temperature_barg" is not used: unit "barg" is not known for a temperature.',
      'Column "flow_pa" is not used: unit "pa" is not known for a flow.',
    ]);
  });

  it('with a number in their name are another circuit’s, and words of the language no units', () => {
    const { warnings } = readLogColumns({
      time_s: [0],
      suction_pressure_2_bar: [1],
      valve_opening_constructor: [1],
    });
    expect(warnings[0]).toMatch(/not one of the telemetry names/);
    expect(warnings[1]).toMatch(/unit "constructor" is not known for a percent/);
  });

  it('may end before their time does', () => {
    const { series } = readLogColumns({ time_s: [0, 1, 2], valve_opening_pct: [5] });
    expect([...series.valveOpening_pct]).toEqual([5, NaN, NaN]);
  });

  it('have their time in minutes, milliseconds and text with a blank between day and hour', () => {
    const times = (name: string, cells: (number | string)[]) => [
      ...readLogColumns({ [name]: cells }).series.time_s,
    ];
    expect(times('time_min', [1, 2])).toEqual([60, 120]);
    expect(times('timestamp_ms', [1500])).toEqual([1.5]);
    expect(times('Timestamp', ['1970-01-01 00:01:00', '1970-01-01T00:02:00Z'])).toEqual([60, 120]);
    expect(times('time', ['1970-01-01T01:00:00+0100', '1970-01-01T00:00:30-00:00'])).toEqual([0, 30]);
  });
});

describe('the windows of a log', () => {
  it('are two hours each, a rest of under half an hour with the one before it', () => {
    // 900 samples span 8990 s, 901 span 9000 s: two and a half hours.
    const samples = (n: number) => assessLog(log(n), 'R134a').windows.map((one) => one.sampleCount);
    expect(samples(900)).toEqual([900]);
    expect(samples(901)).toEqual([720, 181]);
  });

  it('begin with the log', () => {
    const seen = assessLog(log(1000), 'R134a');
    expect([seen.from_s, seen.to_s, seen.samples]).toEqual([1000, 10_990, 1000]);
    expect(seen.windows[1]!.from_s).toBe(8200);
    expect(seen.refrigerant).toBe('R134a');
  });
});

describe('what a log is warned of', () => {
  const warned = (...without: string[]) => assessLog(log(720, without), 'R134a').warnings.join(' ');

  it('is nothing where all that matters is there', () => {
    expect(assessLog(log(720), 'R134a').warnings).toEqual([]);
  });

  it('is each column that is missing', () => {
    expect(warned('suction_pressure_Pa')).toMatch(/No suction pressure/);
    expect(warned('suction_temperature_K')).toMatch(/No suction temperature/);
    expect(warned('valve_opening_pct')).toMatch(/No valve opening/);
    expect(warned('compressor_load_pct')).toMatch(/No compressor load/);
    expect(warned('superheat_setpoint_K')).toMatch(/No superheat setpoint/);
    expect(warned('superheat_setpoint_K')).not.toMatch(/compressor load|valve opening|suction/);
  });

  it('is a superheat that cannot be in the range of the refrigerant', () => {
    const n = 720;
    const wrong = assessLog(log(n, [], { suction_pressure_Pa: new Array<number>(n).fill(9e7) }), 'R134a');
    expect(wrong.warnings.join(' ')).toMatch(/check units, gauge or absolute, and the refrigerant/);
    // Without a pressure that is said of the pressure alone.
    expect(warned('suction_pressure_Pa')).not.toMatch(/check units/);
  });

  it('is too little of it', () => {
    const short = assessLog(log(30), 'R134a').warnings.join(' ');
    expect(short).toMatch(/Too little steady running/);
    expect(short).toMatch(/Under an hour/);
    expect(assessLog(log(355), 'R134a').warnings.join(' ')).toMatch(/Under an hour/);
    expect(assessLog(log(365), 'R134a').warnings.join(' ')).not.toMatch(/Under an hour/);
    const none = assessLog(log(0), 'R134a');
    expect(none.warnings).toContain('The log has no rows.');
    expect([none.from_s, none.to_s, none.samples]).toEqual([null, null, 0]);
  });
});

describe('what is taken where a log cannot say', () => {
  it('is told, and what is given instead', () => {
    // Common practice, no source: limits and tolerances; the standard atmosphere is 101 325 Pa (ISO 2533).
    expect(assessLog(log(40), 'R134a').assumed).toEqual({
      atmosphere_Pa: 101_325,
      floodbackLimit_K: 2,
      safetyMargin_K: 1,
      pressureTolerance_Pa: 8000,
      temperatureTolerance_K: 0.5,
      fullStroke_steps: 2600,
      evaporator: 'dry-expansion',
    });
    const given = assessLog(log(720), 'R134a', {
      floodbackLimit_K: 7,
      temperatureTolerance_K: 2,
      pressureTolerance_Pa: 0,
    });
    expect(given.assumed.floodbackLimit_K).toBe(7);
    expect(given.windows[0]!.superheat!.floodbackLimit_K).toBe(7);
    expect(given.windows[0]!.superheat!.underLimitFraction).toBe(1);
    expect(given.windows[0]!.superheat!.uncertainty_K).toBeCloseTo(2 / Math.sqrt(3), 2);
  });
});
