import {
  assessLog,
  compareWithNormal,
  evaporatorTypes,
  readLogColumns,
  standardAtmospherePressure_Pa,
  type CircuitSeries,
  type EvaporatorType,
} from '@coldrounds/core';
import { InvalidArgumentError, Option, type Command } from 'commander';
import { readLogFile, type LogFileOptions } from './log-file.js';
import { columnsOption, datesOption } from './log-options.js';

export const number =
  (least: number, most: number) =>
  (text: string): number => {
    const value = Number(text);
    if (text.trim() === '' || !(value >= least && value <= most))
      throw new InvalidArgumentError(`Expected a number from ${least} to ${most}.`);
    return value;
  };

interface Options extends LogFileOptions {
  refrigerant: string;
  altitude: number;
  floodbackLimit?: number;
  safetyMargin?: number;
  pressureTolerance?: number;
  temperatureTolerance?: number;
  normal?: string;
  evaporator: EvaporatorType;
  condenser: 'air' | 'water';
  compact?: boolean;
}

export function addAssess(program: Command): void {
  program
    .command('assess')
    .description("assess one circuit's log without a server and print the result as JSON")
    .argument(
      '<log>',
      'CSV or XLSX with named columns with units, for example time, suction_pressure_Pa, suction_temperature_K, valve_opening_pct',
    )
    .requiredOption('--refrigerant <name>', 'refrigerant in the circuit')
    .option('--altitude <metres>', 'altitude of the site, used for gauge pressures', number(-450, 9000), 0)
    .option(
      '--floodback-limit <kelvin>',
      'superheat below which liquid may reach the compressor',
      number(0, 20),
    )
    .option('--safety-margin <kelvin>', 'margin to keep above the steady floor', number(0, 20))
    .option(
      '--pressure-tolerance <pascal>',
      'tolerance of the pressure transducers, plus or minus',
      number(0, 1e6),
    )
    .option(
      '--temperature-tolerance <kelvin>',
      'tolerance of the temperature sensors, plus or minus',
      number(0, 20),
    )
    .option('--normal <normal.csv>', 'log of the same machine while nothing was wrong, to compare with')
    .addOption(
      new Option('--evaporator <type>', 'kind of evaporator')
        .choices(evaporatorTypes)
        .default('dry-expansion'),
    )
    .addOption(
      new Option('--condenser <type>', 'what cools the condenser').choices(['air', 'water']).default('water'),
    )
    .addOption(datesOption())
    .addOption(columnsOption())
    .option('--compact', 'print the JSON on one line')
    .action(async (path: string, options: Options) => {
      const given = {
        floodbackLimit_K: options.floodbackLimit,
        safetyMargin_K: options.safetyMargin,
        pressureTolerance_Pa: options.pressureTolerance,
        temperatureTolerance_K: options.temperatureTolerance,
      };
      const atmosphere_Pa = standardAtmospherePressure_Pa(options.altitude);
      const { table, reading } = await readLogFile(path, options);
      const settings = {
        atmosphere_Pa,
        evaporator: options.evaporator,
        ...Object.fromEntries(Object.entries(given).filter(([, value]) => value !== undefined)),
      };
      const result = assessLog(table, options.refrigerant, settings, reading);
      const { normal, evaporator, condenser, refrigerant } = options;
      const compared =
        normal === undefined
          ? null
          : compareWithNormal({
              series: readLogColumns(table, atmosphere_Pa, reading).series,
              normal: await readNormal(normal, options, atmosphere_Pa),
              refrigerant,
              evaporator,
              condenser,
            });
      const all =
        compared === null
          ? result
          : { ...result, ...compared, warnings: [...result.warnings, ...compared.warnings] };
      process.stdout.write(`${JSON.stringify(all, null, options.compact ? undefined : 2)}\n`);
    });
}

async function readNormal(
  path: string,
  options: LogFileOptions,
  atmosphere_Pa: number,
): Promise<CircuitSeries> {
  const { table, reading } = await readLogFile(path, options);
  return readLogColumns(table, atmosphere_Pa, reading).series;
}
