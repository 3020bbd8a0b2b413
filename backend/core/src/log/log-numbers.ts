/** Which mark parts the whole number from its fraction. */
export type DecimalMark = '.' | ',';

/** A cell of a table; a short row leaves it out. */
export type Cell = number | string | undefined;

const grouped = /^[+-]?\d{1,3}(?:([.,'\s])\d{3})(?:\1\d{3})*(?:[.,]\d+)?(?:e[+-]?\d+)?$/i;
const hasBoth = /[.,].*[.,]/;

/**
 * The decimal mark of a table of texts: the last of two unlike marks in a number (1,234.5), or a comma that cannot part
 * thousands (12,5 or 0,125). Where only numbers like 1,234 are seen, `otherwise` decides.
 */
export function decimalMarkOf(columns: Iterable<ArrayLike<Cell>>, otherwise: DecimalMark): DecimalMark {
  let commas = 0;
  for (const cells of columns)
    for (let row = 0; row < cells.length; row++) {
      const cell = cells[row];
      if (typeof cell !== 'string') continue;
      const text = plain(cell);
      if (!/^[+-]?[\d.,' ]+(?:e[+-]?\d+)?$/i.test(text)) continue;
      const [comma, point] = [text.lastIndexOf(','), text.lastIndexOf('.')];
      if (comma >= 0 && point >= 0) {
        // 1,234,567.8 and 1.234.567,8: the mark that stands once, at the end.
        if (hasBoth.test(text)) return comma > point ? ',' : '.';
      } else if (point >= 0 && !/^[+-]?\d{1,3}(?:\.\d{3})+$/.test(text)) return '.';
      else if (comma >= 0 && !/^[+-]?\d{1,3}(?:,\d{3})+$/.test(text)) return ',';
      else if (comma >= 0) {
        commas += 1;
        // A thousand that begins with zero is none: 0,125.
        if (/^[+-]?0/.test(text)) return ',';
      }
    }
  return commas > 0 ? otherwise : '.';
}

const plain = (cell: string): string =>
  cell
    .trim()
    .replace(/[\u2212\u2013]/g, '-')
    .replace(/[\u00a0\u202f\u2009]/g, ' ')
    .replace(/\s*%$/, '');

/** The number in a cell; NaN where there is none. Thousands may be parted by the other mark, a blank or an apostrophe. */
export function readNumber(cell: Cell, mark: DecimalMark): number {
  if (typeof cell === 'number') return cell;
  if (cell === undefined) return NaN;
  let text = plain(cell);
  if (text === '') return NaN;
  if (grouped.test(text)) text = text.replace(mark === ',' ? /[.'\s]/g : /[,'\s]/g, '');
  if (mark === ',') text = text.replace(',', '.');
  // Number() also reads 0x10 and "Infinity", which no logger means.
  return /^[+-]?(?:\d+\.?\d*|\.\d+)(?:e[+-]?\d+)?$/i.test(text) ? Number(text) : NaN;
}

/** Texts of a column that are no numbers, most frequent first: `Bad 30, --- 5`. Empty cells are gaps, not texts. */
export function textsInColumn(
  cells: ArrayLike<Cell>,
  mark: DecimalMark,
): { cells: number; words: { word: string; count: number }[] } {
  const counts = new Map<string, number>();
  let total = 0;
  for (let row = 0; row < cells.length; row++) {
    const cell = cells[row];
    if (typeof cell !== 'string' || cell.trim() === '' || Number.isFinite(readNumber(cell, mark))) continue;
    total += 1;
    const word = cell.trim().slice(0, 24);
    // What differs in each row is shown by its first few only.
    if (counts.size < 50 || counts.has(word)) counts.set(word, (counts.get(word) ?? 0) + 1);
  }
  const words = [...counts].map(([word, count]) => ({ word, count }));
  return { cells: total, words: words.sort((a, b) => b.count - a.count) };
}
