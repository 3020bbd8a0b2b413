import type { Cell, RegistryTable } from '@coldrounds/core';
import { parse } from 'csv-parse/sync';
import { stringify } from 'csv-stringify/sync';
import { BadEntryError } from '../../people/bad-entry.js';
import { requireUnpackedSize, TooLargeUnpackedError } from './unpacked-size.js';
import { decodedText } from './decoded-text.js';

export const xlsxType = 'application/vnd.openxmlformats-officedocument.spreadsheetml.sheet';

const unreadable = (reason: string) => new BadEntryError([{ name: 'file', reason }]);
/** A workbook is a ZIP archive, whatever its file is called. */
const isWorkbook = (content: Buffer) => content[0] === 0x50 && content[1] === 0x4b;

/** The table of a CSV file or of the first sheet of a workbook: heads in its first row that has any. */
export async function readSpreadsheet(content: Buffer): Promise<RegistryTable> {
  const rows = isWorkbook(content) ? await workbookRows(content) : csvRows(decodedText(content));
  const first = rows.findIndex((row) => row.filter((cell) => cell !== null && cell !== '').length > 1);
  if (first < 0) throw unreadable('holds no table');
  return { heads: rows[first].map((cell) => String(cell ?? '').trim()), rows: rows.slice(first + 1) };
}

function csvRows(text: string): Cell[][] {
  const head = text.split(/\r?\n/, 1)[0];
  const delimiter = [',', ';', '\t'].reduce((best, one) =>
    head.split(one).length > head.split(best).length ? one : best,
  );
  try {
    return parse(text, { bom: true, delimiter, relax_column_count: true, trim: true }) as string[][];
  } catch (error) {
    throw unreadable(`is no CSV table: ${(error as Error).message}`);
  }
}

/** Unpacked; a table of 10,000 units with all its columns takes some 20 MB of XML. */
const mostUnpacked_bytes = 64 * 1024 * 1024;

async function workbookRows(content: Buffer): Promise<Cell[][]> {
  const { default: exceljs } = await import('exceljs');
  const workbook = new exceljs.Workbook();
  try {
    await requireUnpackedSize(content, mostUnpacked_bytes);
    await workbook.xlsx.load(content as unknown as ArrayBuffer);
  } catch (error) {
    if (error instanceof TooLargeUnpackedError)
      throw unreadable('is a workbook of more than 64 MB unpacked; send it in parts, or as CSV');
    throw unreadable('is no XLSX workbook');
  }
  const sheet = workbook.worksheets.at(0);
  if (sheet === undefined) throw unreadable('has no sheet');
  // The workbook counts it over all rows each time.
  const width = sheet.columnCount;
  const rows: Cell[][] = [];
  sheet.eachRow({ includeEmpty: true }, (row) => {
    const cells: Cell[] = [];
    for (let column = 1; column <= width; column += 1) {
      const { value, result, text } = row.getCell(column);
      const known = result ?? value;
      if (known === null || known === undefined) cells.push(null);
      else if (known instanceof Date) cells.push(known.toISOString().slice(0, 10));
      else if (typeof known === 'number' || typeof known === 'boolean') cells.push(known);
      else cells.push((text ?? '').trim());
    }
    rows.push(cells);
  });
  return rows;
}

export const writeCsv = ({ heads, rows }: RegistryTable): string =>
  stringify([[...heads], ...rows.map((row) => [...row])]);

export async function writeWorkbook({ heads, rows }: RegistryTable): Promise<Buffer> {
  const { default: exceljs } = await import('exceljs');
  const workbook = new exceljs.Workbook();
  const sheet = workbook.addWorksheet('Registry', { views: [{ state: 'frozen', ySplit: 1 }] });
  sheet.addRow([...heads]).font = { bold: true };
  sheet.addRows(rows.map((row) => [...row]));
  return Buffer.from(await workbook.xlsx.writeBuffer());
}
