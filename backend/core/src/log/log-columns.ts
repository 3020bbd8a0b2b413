import { circuitSeriesColumns, emptyCircuitSeries, type CircuitSeries } from '../telemetry/circuit-series.js';
import { SeriesError } from '../signals/series-error.js';
import { readHeader, type HeaderMeaning } from './log-headers.js';
import { decimalMarkOf, readNumber, textsInColumn, type DecimalMark } from './log-numbers.js';
import { readLogTimes, type DateOrder, type LogTimes } from './log-times.js';

/** A logger's table: one array per column, named by its header. */
export type LogTable = Record<string, ArrayLike<number | string>>;

export interface LogOptions {
  /** Day or month first, where both are numbers; without it the log must show it itself. */
  dates?: DateOrder;
  /** The decimal mark where the log leaves it open: a number like 1,234. */
  decimalMark?: DecimalMark;
  /** What headers mean: a telemetry name with its unit, or null for a column that is not to be used. */
  columns?: Record<string, string | null>;
}

export interface LogReading {
  series: CircuitSeries;
  /** Columns whose header says gauge pressure: the atmosphere was added. */
  gauge: string[];
  /** Header names that were read, with what they became. */
  read: { name: string; column: string }[];
  /** Sentences; where more than one row in a hundred is not used, the first says so. */
  warnings: string[];
}

/**
 * Reads a logger's columns by name: `suction_pressure_Pa`, "Suction Press. [bar(g)]", `valve_opening_pct` and so on; see
 * `log-headers.ts` for names and units, `log-times.ts` for the forms of time, `log-numbers.ts` for those of numbers.
 * Rows without a time, out of order or doubled are left out or put in order with a warning, and so are texts where a
 * number is meant. What is not recognised is named in a warning, never guessed.
 * @throws SeriesError when there is no time, the order of day and month is open, two columns claim the same value, or
 * more than half of the rows cannot be used.
 */
export function readLogColumns(
  table: LogTable,
  atmosphere_Pa = 101_325,
  options: LogOptions = {},
): LogReading {
  const named = renamed(table, options.columns);
  const warnings: string[] = [];
  const times = readLogTimes(named, options.dates);
  const { rows, sentences } = orderedRows(times, warnings);
  const columns = recognise(named, times.from, warnings);
  const mark = decimalMarkOf(
    columns.map(({ header }) => named[header]),
    options.decimalMark ?? '.',
  );
  const series = emptyCircuitSeries(rows.length);
  rows.forEach(({ at_s }, i) => (series.time_s[i] = at_s));
  for (const { header, meaning } of columns) {
    const added_Pa = meaning.gauge ? atmosphere_Pa : 0;
    const column = series[meaning.column];
    const cells = named[header];
    rows.forEach(({ row }, i) => (column[i] = meaning.toSI(readNumber(cells[row], mark)) + added_Pa));
    const sentence = sayTexts(header, cells, mark);
    if (sentence !== null) warnings.push(sentence);
  }
  return {
    series,
    gauge: columns.filter(({ meaning }) => meaning.gauge).map(({ meaning }) => meaning.column),
    read: columns.map(({ header, meaning }) => ({ name: header, column: meaning.column })),
    warnings: [...sentences, ...warnings],
  };
}

function renamed(table: LogTable, columns: Record<string, string | null> = {}): LogTable {
  const unknown = Object.keys(columns).find((header) => !Object.hasOwn(table, header));
  if (unknown !== undefined)
    throw new SeriesError(unknown, `named by the mapping, but not among: ${Object.keys(table).join(', ')}`);
  const named: Record<string, ArrayLike<number | string>> = {};
  for (const [header, cells] of Object.entries(table)) {
    const name = Object.hasOwn(columns, header) ? columns[header] : header;
    if (name === null) continue;
    if (Object.hasOwn(named, name)) throw new SeriesError(header, `says the same as another column: ${name}`);
    named[name] = cells;
  }
  return named;
}

function recognise(
  table: LogTable,
  times: readonly string[],
  warnings: string[],
): { header: string; meaning: HeaderMeaning }[] {
  const columns: { header: string; meaning: HeaderMeaning }[] = [];
  for (const header of Object.keys(table)) {
    if (times.includes(header)) continue;
    const meaning = readHeader(header);
    if (typeof meaning === 'string') {
      warnings.push(`Column "${header}" is not used: ${meaning}.`);
      continue;
    }
    const other = columns.find((one) => one.meaning.column === meaning.column);
    if (other !== undefined) throw new SeriesError(header, `says the same as column "${other.header}"`);
    columns.push({ header, meaning });
  }
  // In the order of the contract, however the log has them.
  return columns.sort(
    (a, b) => circuitSeriesColumns.indexOf(a.meaning.column) - circuitSeriesColumns.indexOf(b.meaning.column),
  );
}

function sayTexts(header: string, cells: ArrayLike<number | string>, mark: DecimalMark): string | null {
  const { cells: count, words } = textsInColumn(cells, mark);
  if (count === 0) return null;
  const shown = words.slice(0, 4).map(({ word, count }) => `"${word}" ${count}`);
  const holds = count === 1 ? '1 cell of' : `${count} cells of`;
  return `${holds} column "${header}" ${count === 1 ? 'holds' : 'hold'} no number (${shown.join(', ')}${words.length > 4 ? ', ...' : ''}).`;
}

const counted = (rows: number, one: string, more: string): string =>
  rows === 1 ? `1 row ${one}` : `${rows} rows ${more}`;

function orderedRows(
  { time_s, unreadable, assumedUtc, from }: LogTimes,
  warnings: string[],
): { rows: { row: number; at_s: number }[]; sentences: string[] } {
  const rows = Array.from(time_s, (at_s, row) => ({ row, at_s })).filter(({ at_s }) => Number.isFinite(at_s));
  const before = rows.map(({ at_s }) => at_s);
  rows.sort((a, b) => a.at_s - b.at_s);
  const moved = rows.filter(({ at_s }, i) => at_s !== before[i]).length;
  const kept = rows.filter(({ at_s }, i) => i === 0 || at_s > rows[i - 1].at_s);
  const lost: string[] = [];
  if (unreadable !== null) {
    const example = unreadable.example === '' ? '' : ` (for example "${unreadable.example}")`;
    lost.push(
      `${counted(unreadable.rows, 'has', 'have')} no readable time${example} and ${unreadable.rows === 1 ? 'is' : 'are'} left out.`,
    );
  }
  const repeated = rows.length - kept.length;
  if (repeated > 0)
    lost.push(
      `${counted(repeated, 'repeats', 'repeat')} a time and ${repeated === 1 ? 'is' : 'are'} left out.`,
    );
  if (moved > 0) warnings.push('Rows are not in the order of time and were put in order.');
  if (assumedUtc)
    warnings.push(`Times in column "${from.join('" and "')}" name no zone and are taken as UTC.`);
  const unused = time_s.length - kept.length;
  if (unused > time_s.length / 2)
    throw new SeriesError(
      from.join(' and '),
      `${unused} of ${time_s.length} rows cannot be used. ${lost.join(' ')}`,
    );
  if (unused > time_s.length / 100)
    return { rows: kept, sentences: [`${unused} of ${time_s.length} rows are not used. ${lost.join(' ')}`] };
  warnings.push(...lost);
  return { rows: kept, sentences: [] };
}
