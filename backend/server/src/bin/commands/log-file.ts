import { parse } from 'csv-parse/sync';
import { readFile } from 'node:fs/promises';
import type { LogTable } from '@coldrounds/core';
import { CommandError } from './command-error.js';

/** A logger's CSV file as columns by their header; comma, semicolon or tab between the values, decimal point or comma in them. */
export async function readLogFile(path: string): Promise<LogTable> {
  let text: string;
  try {
    text = await readFile(path, 'utf8');
  } catch {
    throw new CommandError(`Cannot read ${path}.`);
  }
  return parseLog(text, path);
}

export function parseLog(text: string, name = 'the log'): LogTable {
  const firstLine = text.slice(0, text.search(/\r?\n|$/));
  const delimiter = [',', ';', '\t'].reduce((best, candidate) =>
    firstLine.split(candidate).length > firstLine.split(best).length ? candidate : best,
  );
  let rows: string[][];
  try {
    rows = parse(text, {
      bom: true,
      delimiter,
      skip_empty_lines: true,
      trim: true,
      comment: '#',
    }) as string[][];
  } catch (error) {
    throw new CommandError(`${name} is not a CSV table: ${(error as Error).message}`);
  }
  if (rows.length === 0) throw new CommandError(`${name} is empty.`);
  const [header, ...body] = rows;
  const repeated = header.find((column, index) => header.indexOf(column) !== index);
  if (repeated !== undefined) throw new CommandError(`${name} has two columns named "${repeated}".`);
  // Where the comma does not part the columns, it can only be a decimal one.
  const value = (cell: string) => (delimiter === ',' ? cell : cell.replace(/^([+-]?\d+),(\d+)$/, '$1.$2'));
  return Object.fromEntries(header.map((column, index) => [column, body.map((row) => value(row[index]))]));
}
