import { describe, expect, it } from 'vitest';
import { readHeader } from './log-headers.js';

/** What a header makes of the value 50: its column, in SI; of gauge pressures before the atmosphere is added. */
const made = (header: string): [string, number, boolean] | string => {
  const found = readHeader(header);
  return typeof found === 'string' ? found : [found.column, found.toSI(50), found.gauge];
};

const suctionPressure: [string, number, boolean][] = [
  ['suction_pressure_Pa', 50, false],
  ['suction_pressure_kPa', 50e3, false],
  ['suction-pressure_bar', 50e5, false],
  ['Suction Pressure [bar]', 50e5, false],
  ['Suction Pressure (bar)', 50e5, false],
  ['Suction Pressure, bar', 50e5, false],
  ['Suction pressure [bar(g)]', 50e5, true],
  ['Suction pressure [bar g]', 50e5, true],
  ['Suction pressure [barg]', 50e5, true],
  ['Suction pressure [bar(a)]', 50e5, false],
  ['Suction pressure [bara]', 50e5, false],
  ['Suction pressure [bar abs]', 50e5, false],
  ['Suct. Press. (kPa)', 50e3, false],
  ['Suct Press (kPag)', 50e3, true],
  ['Suct Press kPa (g)', 50e3, true],
  ['SUCTION PRESSURE (MPA)', 50e6, false],
  ['suction pressure [MPa(abs)]', 50e6, false],
  ['suction pressure [mbar]', 5000, false],
  ['suction pressure [hPa]', 5000, false],
  // NIST SP 811, appendix B: psi 6894.757 Pa, kgf/cm2 98,066.5 Pa.
  ['Suction Pressure (psi)', 344_737.85, false],
  ['Suction Pressure (psia)', 344_737.85, false],
  ['Suction Pressure (psig)', 344_737.85, true],
  ['suction_pressure_psig', 344_737.85, true],
  ['Suction Pressure [kgf/cm²]', 4_903_325, false],
  ['Suction Pressure [kg/cm2 g]', 4_903_325, true],
  ['Suction Pressure {bar}', 50e5, false],
];

const suctionTemperature: [string, number][] = [
  ['suction_temperature_K', 50],
  ['suction_temperature_C', 323.15],
  ['suction_temperature_degC', 323.15],
  ['Suction Temperature [°C]', 323.15],
  ['Suction Temperature (℃)', 323.15],
  ['Suction Temperature (deg C)', 323.15],
  ['Suction Temperature (deg. C)', 323.15],
  ['Suction Temp. [C]', 323.15],
  ['Suct Temp (Celsius)', 323.15],
  // 50 F is 10 C exactly.
  ['Suction Temp (°F)', 283.15],
  ['Suction Temp (deg F)', 283.15],
  ['suction_temp_F', 283.15],
  ['Suction tmp [Fahrenheit]', 283.15],
];

const others: [string, string, number][] = [
  ['Valve opening [%]', 'valveOpening_pct', 50],
  ['Valve Opening %', 'valveOpening_pct', 50],
  ['valve_opening_percent', 'valveOpening_pct', 50],
  ['EEV position (%)', 'valveOpening_pct', 50],
  ['EXV pos [% open]', 'valveOpening_pct', 50],
  ['Expansion valve opening (pct)', 'valveOpening_pct', 50],
  ['Discharge Press. [bar]', 'dischargePressure_Pa', 50e5],
  ['Disch Press (MPa)', 'dischargePressure_Pa', 50e6],
  ['Discharge temp [°C]', 'dischargeTemperature_K', 323.15],
  ['Liquid temperature (°C)', 'liquidTemperature_K', 323.15],
  ['Superheat setpoint [K]', 'superheatSetpoint_K', 50],
  ['SH setpoint (K)', 'superheatSetpoint_K', 50],
  ['SH SP [°F]', 'superheatSetpoint_K', 50 / 1.8],
  ['Compressor load [%]', 'compressorLoad_pct', 50],
  ['Comp load %', 'compressorLoad_pct', 50],
  ['Compressor power [kW]', 'compressorPower_W', 50e3],
  ['Compressor power (W)', 'compressorPower_W', 50],
  ['comp_power_hp', 'compressorPower_W', 37_285],
  ['Chilled water entering temp [°C]', 'enteringWaterTemperature_K', 323.15],
  ['CHW entering temperature (°F)', 'enteringWaterTemperature_K', 283.15],
  ['Entering water temperature [°C]', 'enteringWaterTemperature_K', 323.15],
  ['Leaving chilled water temp (°C)', 'leavingWaterTemperature_K', 323.15],
  ['Evaporator leaving temperature [K]', 'leavingWaterTemperature_K', 50],
  ['leaving_temperature_C', 'leavingWaterTemperature_K', 323.15],
  ['Water flow [m³/h]', 'waterFlow_m3_s', 50 / 3600],
  ['Water flow rate (l/s)', 'waterFlow_m3_s', 0.05],
  ['flow_l_s', 'waterFlow_m3_s', 0.05],
  ['flow_m3_h', 'waterFlow_m3_s', 50 / 3600],
  ['flow_m3_s', 'waterFlow_m3_s', 50],
  ['flow_l_min', 'waterFlow_m3_s', 0.05 / 60],
  ['Chilled water flow (L/min)', 'waterFlow_m3_s', 0.05 / 60],
  ['Evaporator flow [m^3/s]', 'waterFlow_m3_s', 50],
  // NIST SP 811: US gallon a minute 6.30902e-5 m3/s.
  ['Condenser water flow (gpm)', 'condenserFlow_m3_s', 3.15451e-3],
  ['condenser_flow_gpm', 'condenserFlow_m3_s', 3.15451e-3],
  ['Condenser entering temp [°C]', 'condenserEnteringTemperature_K', 323.15],
  ['Cond. entering temp [°C]', 'condenserEnteringTemperature_K', 323.15],
  ['Condenser water leaving temperature (°F)', 'condenserLeavingTemperature_K', 283.15],
  ['CW entering temp (°C)', 'condenserEnteringTemperature_K', 323.15],
  ['Entering condenser water temp [°C]', 'condenserEnteringTemperature_K', 323.15],
  ['Condenser fan speed [%]', 'condenserFanSpeed_pct', 50],
  ['Ambient temp [°C]', 'ambientTemperature_K', 323.15],
  ['Outdoor air temperature (°F)', 'ambientTemperature_K', 283.15],
  ['Outside temp (°C)', 'ambientTemperature_K', 323.15],
];

describe('a header of a log', () => {
  it.each(suctionPressure)(
    '"%s" is suction pressure: 50 is %d Pa, gauge %s',
    (header, pressure_Pa, gauge) => {
      const [column, value, isGauge] = made(header) as [string, number, boolean];
      expect([column, isGauge]).toEqual(['suctionPressure_Pa', gauge]);
      expect(value / pressure_Pa).toBeCloseTo(1, 6);
    },
  );

  it.each(suctionTemperature)('"%s" is suction temperature: 50 is %d K', (header, temperature_K) => {
    const [column, value] = made(header) as [string, number, boolean];
    expect(column).toBe('suctionTemperature_K');
    expect(value).toBeCloseTo(temperature_K, 6);
  });

  it.each(others)('"%s" is %s: 50 is %d in SI', (header, column, value) => {
    const found = made(header) as [string, number, boolean];
    expect(found[0]).toBe(column);
    expect(found[1] / value).toBeCloseTo(1, 5);
  });

  it.each([
    ['Suction Pressure', /does not say the unit/],
    ['Suction Pressure [inHg]', /unit "inhg" is not known for a pressure/],
    ['Suction temperature [bar]', /unit "bar" is not known for a temperature/],
    ['Suction pressure 2 [bar]', /not one of the telemetry names/],
    ['SuctionTemp [C]', /not one of the telemetry names/],
    ['Alarm', /not one of the telemetry names/],
    ['Temperature 1 (°C)', /not one of the telemetry names/],
    ['Discharge superheat [K]', /not one of the telemetry names/],
  ])('"%s" is not guessed', (header, reason) => {
    expect(made(header)).toMatch(reason);
  });
});
