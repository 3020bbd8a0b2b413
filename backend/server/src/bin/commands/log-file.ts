import { parse } from 'csv-parse/sync';
import { readFile } from 'node:fs/promises';
import { extname } from 'node:path';
import type { DateOrder, LogOptions, LogTable } from '@coldrounds/core';
import { decodedText } from '../../registry/table/decoded-text.js';
import { CommandError } from './command-error.js';

/** How a log is to be read, from the command line. */
export interface LogFileOptions {
  /** Day or month first. */
  dates?: DateOrder;
  /** File that says what headers mean: `{ "P1": "suction_pressure_barg", "Alarm": null }`. */
  columns?: string;
}

export interface LogFile {
  table: LogTable;
  reading: LogOptions;
}

/** A logger's CSV or XLSX file as columns by their header, and how their cells are to be read. */
export async function readLogFile(path: string, { dates, columns }: LogFileOptions = {}): Promise<LogFile> {
  const content = await contentOf(path);
  const { table, delimiter } =
    extname(path).toLowerCase() === '.xlsx'
      ? { table: await parseWorkbook(content, path), delimiter: ',' }
      : parseLog(decodedText(content), path);
  return {
    table,
    reading: {
      dates,
      columns: columns === undefined ? undefined : await readMapping(columns),
      // Where the comma does not part the columns, it is meant as a decimal one.
      decimalMark: delimiter === ',' ? '.' : ',',
    },
  };
}

async function contentOf(path: string): Promise<Buffer> {
  try {
    return await readFile(path);
  } catch {
    throw new CommandError(`Cannot read ${path}.`);
  }
}

const namesTime = /(?:^|[^a-z])(?:time|timestamp|date|datetime|epoch|unix)(?:[^a-z]|$)/i;
/** Lines above the header that name the logger, the site or the channel. */
const mostPreamble = 40;

/** The columns of a CSV text; comma, semicolon or tab between them. The header is the first line that names a time. */
export function parseLog(text: string, name = 'the log'): { table: LogTable; delimiter: string } {
  const lines = text.split(/\r?\n/, mostPreamble);
  const named = lines.findIndex(
    (line) => !line.trim().startsWith('#') && namesTime.test(line) && /[,;\t]/.test(line),
  );
  const header = lines[Math.max(0, named)] ?? '';
  const delimiter = [',', ';', '\t'].reduce((best, candidate) =>
    header.split(candidate).length > header.split(best).length ? candidate : best,
  );
  let rows: string[][];
  try {
    rows = parse(text, {
      bom: true,
      delimiter,
      from_line: Math.max(0, named) + 1,
      skip_empty_lines: true,
      trim: true,
      comment: '#',
      comment_no_infix: true,
    }) as string[][];
  } catch (error) {
    throw new CommandError(`${name} is not a CSV table: ${(error as Error).message}`);
  }
  return { table: columnsOf(rows, name), delimiter };
}

function columnsOf(rows: (string | number)[][], name: string): LogTable {
  if (rows.length === 0) throw new CommandError(`${name} is empty.`);
  const [first, ...body] = rows;
  const header = first.map(String);
  const repeated = header.find((column, index) => column !== '' && header.indexOf(column) !== index);
  if (repeated !== undefined) throw new CommandError(`${name} has two columns named "${repeated}".`);
  const table: Record<string, (string | number)[]> = {};
  header.forEach((column, index) => {
    // A delimiter at the end of each line makes a column without name or values.
    if (column !== '' || body.some((row) => row[index] !== ''))
      table[column] = body.map((row) => row[index] ?? '');
  });
  return table;
}

/** The first sheet of a workbook: its dates as ISO texts, the results of its formulas. */
async function parseWorkbook(content: Buffer, name: string): Promise<LogTable> {
  const { default: exceljs } = await import('exceljs');
  const workbook = new exceljs.Workbook();
  try {
    await workbook.xlsx.load(content as unknown as ArrayBuffer);
  } catch {
    throw new CommandError(`${name} is not an XLSX workbook.`);
  }
  const sheet = workbook.worksheets.at(0);
  if (sheet === undefined) throw new CommandError(`${name} has no sheet.`);
  // The workbook counts it over all rows each time.
  const width = sheet.columnCount;
  const rows: (string | number)[][] = [];
  sheet.eachRow((row) => {
    const cells: (string | number)[] = [];
    for (let column = 1; column <= width; column += 1) {
      const { value, result, text } = row.getCell(column);
      const known = result ?? value;
      if (known instanceof Date) cells.push(known.toISOString().replace('Z', ''));
      else if (typeof known === 'number') cells.push(known);
      else cells.push((text ?? '').trim());
    }
    rows.push(cells);
  });
  const named = rows
    .slice(0, mostPreamble)
    .findIndex((row) => row.some((cell) => namesTime.test(String(cell))));
  return columnsOf(rows.slice(Math.max(0, named)), name);
}

async function readMapping(path: string): Promise<Record<string, string | null>> {
  let found: unknown;
  try {
    found = JSON.parse(decodedText(await contentOf(path)));
  } catch (error) {
    if (error instanceof CommandError) throw error;
    throw new CommandError(`${path} is not JSON.`);
  }
  const entries =
    found !== null && typeof found === 'object' && !Array.isArray(found) ? Object.entries(found) : null;
  if (!entries?.every(([, meaning]) => meaning === null || typeof meaning === 'string'))
    throw new CommandError(
      `${path} must name each header with what it means, {"P1": "suction_pressure_barg", "Alarm": null}.`,
    );
  return Object.fromEntries(entries) as Record<string, string | null>;
}
