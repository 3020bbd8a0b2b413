import {
  absoluteFromGauge_Pa,
  ArgumentError,
  barToPascal,
  celsiusToKelvin,
  fahrenheitToKelvin,
  pascalPerPsi,
} from '../units/index.js';

/** A pressure as a person wrote it: SI value, and whether gauge was meant. */
export interface ParsedPressure {
  pressure_Pa: number;
  gauge: boolean;
}

const split = (argument: string, text: string): { value: number; unit: string } => {
  const match = /^\s*([+-]?(?:\d+\.?\d*|\.\d+)(?:e[+-]?\d+)?)\s*°?\s*([a-z]+)\s*$/i.exec(text);
  if (!match) throw new ArgumentError(argument, `"${text}" is not a number with a unit`);
  return { value: Number(match[1]), unit: match[2].toLowerCase() };
};

const pressureUnits: Record<string, (value: number) => number> = {
  pa: (value) => value,
  kpa: (value) => value * 1e3,
  mpa: (value) => value * 1e6,
  bar: barToPascal,
  psi: (value) => value * pascalPerPsi,
};

/**
 * Reads `8.57bar`, `857 kPa`, `0.857MPa`, `124psi` (absolute, as are `bara`, `psia`) or `124psig`, `7.5barg`, `750kPag`
 * (gauge: the standard atmosphere at the altitude is added).
 * @throws ArgumentError (`pressure`) naming the units it knows.
 */
export function parsePressure(text: string, altitude_m = 0): ParsedPressure {
  const { value, unit } = split('pressure', text);
  const bare = pressureUnits[unit] ? unit : unit.slice(0, -1);
  const suffix = unit.slice(bare.length);
  const convert = pressureUnits[bare];
  if (!convert || !['', 'a', 'g'].includes(suffix)) {
    throw new ArgumentError('pressure', `"${text}": unit must be Pa, kPa, MPa, bar or psi, with g for gauge`);
  }
  const gauge = suffix === 'g';
  const pressure_Pa = gauge ? absoluteFromGauge_Pa(convert(value), altitude_m) : convert(value);
  if (!(pressure_Pa > 0))
    throw new ArgumentError('pressure', `"${text}" is not an absolute pressure above zero`);
  return { pressure_Pa, gauge };
}

/**
 * Reads `5C`, `41 F` or `300K` (also with a degree sign or `Cel`, `degC`, `degF`).
 * @throws ArgumentError (`temperature`) naming the units it knows.
 */
export function parseTemperature(text: string): number {
  const { value, unit } = split('temperature', text);
  const scale = unit.replace(/^deg/, '').replace(/^cel$/, 'c');
  const kelvin =
    scale === 'c'
      ? celsiusToKelvin(value)
      : scale === 'f'
        ? fahrenheitToKelvin(value)
        : scale === 'k'
          ? value
          : NaN;
  if (Number.isNaN(kelvin)) throw new ArgumentError('temperature', `"${text}": unit must be C, F or K`);
  if (!(kelvin > 0)) throw new ArgumentError('temperature', `"${text}" is below absolute zero`);
  return kelvin;
}
