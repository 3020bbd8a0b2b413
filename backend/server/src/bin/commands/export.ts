import { Option, type Command } from 'commander';
import { stringify } from 'csv-stringify';
import { createWriteStream } from 'node:fs';
import { Readable } from 'node:stream';
import { finished, pipeline } from 'node:stream/promises';
import { instant_s } from '../../api/parameters.js';
import { exportFormats, type ExportFormat } from '../../export/take-away.service.js';
import type { ExportService, Table } from '../../study/export.service.js';
import type { createServices } from '../services.js';
import { CommandError } from './command-error.js';

type Services = ReturnType<typeof createServices>;
type WithStore = (work: (services: Services) => Promise<void>) => Promise<void>;

interface Options {
  format?: ExportFormat;
  from?: string;
  to?: string;
  site?: string;
  unit?: string;
  out?: string;
  output?: string;
}

/** Whoever sits at the machine and can open the store sees all of it. */
const everything = { sites: null };

export function addExports(program: Command, withStore: WithStore, say: (line: string) => void): void {
  program
    .command('export')
    .description('write a whole table to a file; docs/data-dictionary.md has the tables and their columns')
    .argument(
      '<what>',
      'a table, e.g. readings, windows, closings, findings, decisions; or circuit: one circuit’s log, as import reads it',
    )
    .argument('[place]', 'of circuit: SITE/UNIT/CIRCUIT; of closings: SITE/UNIT/MODULE')
    .addOption(
      new Option('--format <format>', 'default: by the name of the file, else csv').choices(exportFormats),
    )
    .option('--from <time>', 'ISO time; default: one day before the end')
    .option('--to <time>', 'ISO time; default: now')
    .option('--site <key>', 'only this site')
    .option('--unit <site/unit>', 'only this unit')
    .option('--out <file>', 'default: the screen')
    .addOption(new Option('--output <file>', 'the same as --out').hideHelp())
    .action(async (what: string, place: string | undefined, given: Options) => {
      const options = { ...given, out: given.out ?? given.output };
      if (what === 'circuit' || place !== undefined)
        await withStore(async ({ exports }) =>
          writeTable(await tableOf(exports, what, place, options), options.out),
        );
      else await withStore((services) => takeAway(services, what, options, say));
    });
}

function spanOf({ from, to }: Options): { from_s: number; to_s: number } {
  const to_s = to === undefined ? Date.now() / 1000 : instant_s(to);
  return { from_s: from === undefined ? to_s - 86_400 : instant_s(from), to_s };
}

async function takeAway(
  { takeAway: exports }: Services,
  table: string,
  options: Options,
  say: (line: string) => void,
): Promise<void> {
  const { site, unit, out } = options;
  const format = options.format ?? (out?.endsWith('.parquet') === true ? 'parquet' : 'csv');
  const taken = await exports.take(everything, { table, format, site, unit, span: spanOf(options) });
  if (out === undefined) {
    await taken.write(process.stdout);
    return;
  }
  const file = createWriteStream(out, { highWaterMark: 4 * 1024 * 1024 });
  const whole = finished(file);
  // Heard of below, where it is waited for.
  whole.catch(() => {});
  let rows: number;
  try {
    rows = await taken.write(file);
  } catch (error) {
    file.destroy(error as Error);
    await whole;
    throw error;
  }
  file.end();
  await whole;
  say(`${rows} ${rows === 1 ? 'row' : 'rows'} written to ${out}.`);
}

function tableOf(
  reader: ExportService,
  what: string,
  place: string | undefined,
  options: Options,
): Promise<Table> {
  if (options.format === 'parquet' || options.site !== undefined || options.unit !== undefined)
    throw new CommandError(
      `"export ${what} SITE/UNIT/NUMBER" takes neither --format parquet nor --site nor --unit.`,
    );
  const [site, unit, number] = parts(place ?? '', `<site/unit/${what === 'circuit' ? 'circuit' : 'module'}>`);
  if (what === 'circuit')
    return reader.circuitSeries({ site, unit, circuit: Number(number) }, spanOf(options));
  if (what === 'closings') return reader.closings({ site, unit, module: Number(number) });
  throw new CommandError(`"export ${what}" takes no place; use --site or --unit.`);
}

function parts(path: string, form: string): [string, string, string] {
  const found = path.split('/');
  if (found.length !== 3 || !/^\d+$/.test(found[2])) throw new CommandError(`Expected ${form}.`);
  return found as [string, string, string];
}

async function writeTable({ columns, rows }: Table, output?: string): Promise<void> {
  const lines = stringify({ header: true, columns });
  if (output === undefined) await pipeline(Readable.from(rows), lines, process.stdout, { end: false });
  else await pipeline(Readable.from(rows), lines, createWriteStream(output));
}
