import {
  joulePerKilogramPerBtuPerPound,
  kelvinToCelsius,
  kelvinToFahrenheit,
  kilogramPerCubicMetrePerPoundPerCubicFoot,
  liquidDensity,
  liquidEnthalpy,
  OutOfRangeError,
  pascalToBar,
  pascalToPsi,
  refrigerantFacts,
  refrigerantNames,
  saturationPressure,
  saturationTemperature,
  vapourDensity,
  vapourEnthalpy,
} from '@coldrounds/core';
import type { Command } from 'commander';
import { pressure_Pa, temperature_K } from './value-with-unit.js';
import { number } from './assess.js';
import { CommandError } from './command-error.js';

interface Options {
  refrigerant?: string;
  pressure?: string;
  temperature?: string;
  altitude: number;
  units: string;
  json?: boolean;
}

interface Line {
  name: string;
  value: number;
  kind: 'pressure' | 'temperature' | 'difference' | 'enthalpy' | 'density';
}

type Shown = (value: number) => string;

const shown: Record<'si' | 'ip', Record<Line['kind'], Shown>> = {
  si: {
    pressure: (value) => `${pascalToBar(value).toFixed(3)} bar`,
    temperature: (value) => `${kelvinToCelsius(value).toFixed(2)} °C`,
    difference: (value) => `${value.toFixed(2)} K`,
    enthalpy: (value) => `${(value / 1000).toFixed(2)} kJ/kg`,
    density: (value) => `${value.toPrecision(5)} kg/m³`,
  },
  ip: {
    pressure: (value) => `${pascalToPsi(value).toFixed(2)} psia`,
    temperature: (value) => `${kelvinToFahrenheit(value).toFixed(2)} °F`,
    difference: (value) => `${(value * 1.8).toFixed(2)} °F`,
    enthalpy: (value) => `${(value / joulePerKilogramPerBtuPerPound).toFixed(2)} Btu/lb`,
    density: (value) => `${(value / kilogramPerCubicMetrePerPoundPerCubicFoot).toPrecision(5)} lb/ft³`,
  },
};

/** What the tables do not reach, in the units of the question. */
function outside(error: OutOfRangeError, refrigerant: string, system: 'si' | 'ip'): CommandError {
  const show = shown[system][error.argument.endsWith('_Pa') ? 'pressure' : 'temperature'];
  return new CommandError(
    `${show(error.value)} is outside the property table of ${refrigerant}, which covers ${show(error.minimum)} to ${show(error.maximum)}.`,
  );
}

/** Saturation at a pressure, and the vapour there where a temperature is given too. */
export function propertyLines(
  refrigerant: string,
  given: { pressure_Pa?: number; temperature_K?: number },
): Line[] {
  const lines: Line[] = [];
  const saturated = (dew_K: number, bubble_K: number, dew_Pa: number) => {
    lines.push({
      name: 'saturated liquid enthalpy',
      value: liquidEnthalpy(refrigerant, bubble_K),
      kind: 'enthalpy',
    });
    lines.push({
      name: 'saturated liquid density',
      value: liquidDensity(refrigerant, bubble_K),
      kind: 'density',
    });
    lines.push({
      name: 'saturated vapour enthalpy',
      value: vapourEnthalpy(refrigerant, dew_Pa, dew_K),
      kind: 'enthalpy',
    });
    lines.push({
      name: 'saturated vapour density',
      value: vapourDensity(refrigerant, dew_Pa, dew_K),
      kind: 'density',
    });
  };
  if (given.pressure_Pa !== undefined) {
    const dew = saturationTemperature(refrigerant, given.pressure_Pa, 'dew');
    const bubble = saturationTemperature(refrigerant, given.pressure_Pa, 'bubble');
    lines.push({ name: 'pressure, absolute', value: given.pressure_Pa, kind: 'pressure' });
    lines.push({ name: 'dew point (for superheat)', value: dew, kind: 'temperature' });
    lines.push({ name: 'bubble point (for subcooling)', value: bubble, kind: 'temperature' });
    lines.push({ name: 'glide', value: dew - bubble, kind: 'difference' });
    saturated(dew, bubble, given.pressure_Pa);
    if (given.temperature_K !== undefined) {
      lines.push({ name: 'temperature', value: given.temperature_K, kind: 'temperature' });
      if (given.temperature_K >= dew) {
        lines.push({ name: 'superheat', value: given.temperature_K - dew, kind: 'difference' });
        lines.push({
          name: 'vapour enthalpy',
          value: vapourEnthalpy(refrigerant, given.pressure_Pa, given.temperature_K),
          kind: 'enthalpy',
        });
        lines.push({
          name: 'vapour density',
          value: vapourDensity(refrigerant, given.pressure_Pa, given.temperature_K),
          kind: 'density',
        });
      } else if (given.temperature_K <= bubble)
        lines.push({ name: 'subcooling', value: bubble - given.temperature_K, kind: 'difference' });
    }
  } else if (given.temperature_K !== undefined) {
    const dew_Pa = saturationPressure(refrigerant, given.temperature_K, 'dew');
    lines.push({ name: 'temperature', value: given.temperature_K, kind: 'temperature' });
    lines.push({ name: 'dew pressure, absolute', value: dew_Pa, kind: 'pressure' });
    lines.push({
      name: 'bubble pressure, absolute',
      value: saturationPressure(refrigerant, given.temperature_K, 'bubble'),
      kind: 'pressure',
    });
    saturated(given.temperature_K, given.temperature_K, dew_Pa);
  }
  return lines;
}

export function addProperties(program: Command): void {
  program
    .command('properties')
    .description('print saturation, superheat and vapour properties of a refrigerant')
    .option('--refrigerant <name>', 'refrigerant; if left out, the known ones are listed')
    .option('--pressure <value>', 'pressure with its unit, for example 8.57bar or 120psig')
    .option('--temperature <value>', 'temperature with its unit, for example 5C or 41F')
    .option('--altitude <metres>', 'altitude of the site, used for gauge pressures', number(-450, 9000), 0)
    .option('--units <si|ip>', 'units of the output; default: those of the input')
    .option('--json', 'print JSON in SI units')
    .action((options: Options) => {
      if (options.refrigerant === undefined) {
        process.stdout.write(`${refrigerantNames().join('\n')}\n`);
        return;
      }
      const facts = refrigerantFacts(options.refrigerant);
      if (options.pressure === undefined && options.temperature === undefined)
        throw new CommandError('Give --pressure, --temperature, or both.');
      const asked = `${options.pressure ?? ''} ${options.temperature ?? ''}`;
      const system = options.units ?? (/psi|f\b/i.test(asked) ? 'ip' : 'si');
      if (system !== 'si' && system !== 'ip') throw new CommandError('--units must be si or ip.');
      const given = {
        pressure_Pa:
          options.pressure === undefined ? undefined : pressure_Pa(options.pressure, options.altitude),
        temperature_K: options.temperature === undefined ? undefined : temperature_K(options.temperature),
      };
      let lines: Line[];
      try {
        lines = propertyLines(facts.name, given);
      } catch (error) {
        throw error instanceof OutOfRangeError ? outside(error, facts.name, system) : error;
      }
      if (options.json) {
        process.stdout.write(
          `${JSON.stringify({ refrigerant: facts.name, safetyClass: facts.safetyClass, properties: lines }, null, 2)}\n`,
        );
        return;
      }
      const width = Math.max(...lines.map(({ name }) => name.length));
      process.stdout.write(
        [
          `${facts.name}, safety class ${facts.safetyClass}; ${facts.source}`,
          ...lines.map(({ name, value, kind }) => `  ${name.padEnd(width)}  ${shown[system][kind](value)}`),
          'Enthalpy is zero for saturated vapour (dew side) at 0 °C.',
          '',
        ].join('\n'),
      );
    });
}
