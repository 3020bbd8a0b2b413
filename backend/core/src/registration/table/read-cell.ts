import { headParts, type TableColumn } from './columns.js';

/** What cannot be read in a cell, as words. */
export class CellProblem extends Error {
  override name = 'CellProblem';
}

export type Cell = string | number | boolean | null;
export type CellValue = string | number | boolean;

const notKnownWords = new Set(['', '-', '--', '---', '?', 'n/a', 'na', 'not known', 'unknown']);

/**
 * What a cell says, in SI; null: it is empty, or says that it is not known.
 *
 * @param head of its column: a unit in brackets counts.
 * @throws CellProblem
 */
export function readCell(cell: Cell, head: string, column: TableColumn): CellValue | null {
  if (cell === null) return null;
  const text = String(cell).trim();
  if (notKnownWords.has(text.toLowerCase())) return null;
  const { cell: kind } = column;
  switch (kind.kind) {
    case 'text':
      return text;
    case 'key':
      return text;
    case 'date':
      return dateOf(cell, text);
    case 'yes-no':
      return yesOrNo(text);
    case 'choice': {
      const chosen = kind.of[text.toLowerCase()];
      if (chosen === undefined)
        throw new CellProblem(`"${text}" is none of ${[...new Set(Object.values(kind.of))].join(', ')}.`);
      return chosen;
    }
    case 'number':
      return numberOf(cell, text, headParts(head).unit, kind);
  }
}

function yesOrNo(text: string): boolean {
  if (/^(yes|y|true|1|x)$/i.test(text)) return true;
  if (/^(no|n|false|0)$/i.test(text)) return false;
  throw new CellProblem(`"${text}" is neither yes nor no.`);
}

/** ISO dates and years alone; a workbook's own dates come as ISO texts. What can be read in two ways is not read. */
function dateOf(cell: Cell, text: string): string {
  const day = /^(\d{4})-(\d{2})-(\d{2})(?:T.*)?$/.exec(text);
  if (day !== null && !Number.isNaN(Date.parse(day[0].slice(0, 10)))) return text.slice(0, 10);
  const year = Number(cell);
  if (Number.isInteger(year) && year >= 1950 && year <= 2100) return `${year}-01-01`;
  const pointed = /^(\d{1,2})\.(\d{1,2})\.(\d{4})$/.exec(text);
  if (pointed !== null) {
    const iso = `${pointed[3]}-${pointed[2].padStart(2, '0')}-${pointed[1].padStart(2, '0')}`;
    if (!Number.isNaN(Date.parse(iso))) return iso;
  }
  throw new CellProblem(`"${text}" is no date; write it as 2021-05-03.`);
}

function numberOf(
  cell: Cell,
  text: string,
  unit: string | null,
  { units, whole }: { units: Record<string, number>; whole?: true },
): number {
  const known = Object.keys(units);
  const si =
    unit === null || unit === ''
      ? units[known[0]]
      : Object.entries(units).find(([name]) => name.toLowerCase() === unit.toLowerCase())?.[1];
  if (si === undefined) throw new CellProblem(`The head's unit "${unit}" is none of ${known.join(', ')}.`);
  const value = typeof cell === 'number' ? cell : Number(text.replace(/\s/g, '').replace(',', '.'));
  if (!Number.isFinite(value)) throw new CellProblem(`"${text}" is no number.`);
  if (whole && !Number.isInteger(value)) throw new CellProblem(`"${text}" is no whole number.`);
  return value * si;
}
