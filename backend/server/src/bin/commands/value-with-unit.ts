import {
  absoluteFromGauge_Pa,
  barToPascal,
  celsiusToKelvin,
  fahrenheitToKelvin,
  psiToPascal,
} from '@coldrounds/core';
import { CommandError } from './command-error.js';

type Convert = (value: number, altitude_m: number) => number;

const pressureUnits: Record<string, Convert> = {
  pa: (value) => value,
  kpa: (value) => value * 1e3,
  mpa: (value) => value * 1e6,
  bar: barToPascal,
  psi: psiToPascal,
  psia: psiToPascal,
  barg: (value, altitude_m) => absoluteFromGauge_Pa(barToPascal(value), altitude_m),
  kpag: (value, altitude_m) => absoluteFromGauge_Pa(value * 1e3, altitude_m),
  psig: (value, altitude_m) => absoluteFromGauge_Pa(psiToPascal(value), altitude_m),
};

const temperatureUnits: Record<string, Convert> = {
  k: (value) => value,
  c: celsiusToKelvin,
  f: fahrenheitToKelvin,
};

function inSi(text: string, units: Record<string, Convert>, example: string, altitude_m: number): number {
  const found = /^\s*([+-]?(?:\d+\.?\d*|\.\d+)(?:[eE][+-]?\d+)?)\s*°?\s*([a-zA-Z]+)\s*$/.exec(text);
  const convert = found ? units[found[2].toLowerCase()] : undefined;
  if (!found || !convert)
    throw new CommandError(
      `Cannot read "${text}". Give a number with its unit (${Object.keys(units).join(', ')}), for example ${example}.`,
    );
  return convert(Number(found[1]), altitude_m);
}

/** Absolute pressure in Pa from e.g. `8.57bar`, `120 psig`. */
export const pressure_Pa = (text: string, altitude_m = 0): number =>
  inSi(text, pressureUnits, '8.57bar', altitude_m);

/** Temperature in K from e.g. `5C`, `41F`, `278.15K`. */
export const temperature_K = (text: string): number => inSi(text, temperatureUnits, '5C', 0);
