import type { TelemetryTable } from '../schema/telemetry-tables.js';

/** Time steps of one owner as columns in the order of the table's `columns`; NaN where there is no value. */
export interface SeriesRows {
  ownerId: number;
  length: number;
  time_ms: Float64Array;
  columns: Float64Array[];
}

/** As `SeriesRows`, in strictly rising time, with the table's differences appended to the columns. */
export interface CompleteRows extends SeriesRows {
  /** Time steps that came more than once in the batch and brought nothing new the next time. */
  repeats: number;
}

/**
 * Brings everything that a batch holds for a table into one run per owner, in time order, each time once: the first
 * value stays and later ones fill what is missing. Differences are taken last, so that pressure and temperature may
 * come in two messages.
 */
export function completeRows(table: TelemetryTable, packs: readonly SeriesRows[]): CompleteRows[] {
  const byOwner = new Map<number, SeriesRows[]>();
  for (const pack of packs) {
    if (pack.length === 0) continue;
    const list = byOwner.get(pack.ownerId);
    if (list) list.push(pack);
    else byOwner.set(pack.ownerId, [pack]);
  }
  return [...byOwner.keys()]
    .sort((a, b) => a - b)
    .map((ownerId) => withDifferences(table, join(ownerId, byOwner.get(ownerId)!)));
}

function join(ownerId: number, packs: SeriesRows[]): CompleteRows {
  if (packs.length === 1 && isRising(packs[0])) return { ...packs[0], repeats: 0 };
  const total = packs.reduce((sum, pack) => sum + pack.length, 0);
  const packOf = new Int32Array(total);
  const rowOf = new Int32Array(total);
  const time = new Float64Array(total);
  let at = 0;
  let rising = true;
  for (const [index, pack] of packs.entries()) {
    for (let row = 0; row < pack.length; row++, at++) {
      packOf[at] = index;
      rowOf[at] = row;
      time[at] = pack.time_ms[row];
      if (at > 0 && time[at] <= time[at - 1]) rising = false;
    }
  }
  const order = Int32Array.from({ length: total }, (_, i) => i);
  // Equal times keep the order in which they came.
  if (!rising) order.sort((a, b) => time[a] - time[b] || a - b);

  const width = packs[0].columns.length;
  const time_ms = new Float64Array(total);
  const columns = Array.from({ length: width }, () => new Float64Array(total));
  let length = 0;
  let repeats = 0;
  for (const from of order) {
    const source = packs[packOf[from]].columns;
    const row = rowOf[from];
    const repeated = length > 0 && time_ms[length - 1] === time[from];
    if (!repeated) time_ms[length++] = time[from];
    let news = !repeated;
    for (let c = 0; c < width; c++) {
      if (repeated && !Number.isNaN(columns[c][length - 1])) continue;
      columns[c][length - 1] = source[c][row];
      if (!Number.isNaN(source[c][row])) news = true;
    }
    if (!news) repeats++;
  }
  return {
    ownerId,
    repeats,
    length,
    time_ms: time_ms.subarray(0, length),
    columns: columns.map((column) => column.subarray(0, length)),
  };
}

function isRising({ time_ms, length }: SeriesRows): boolean {
  for (let i = 1; i < length; i++) if (!(time_ms[i] > time_ms[i - 1])) return false;
  return true;
}

function withDifferences(table: TelemetryTable, rows: CompleteRows): CompleteRows {
  const column = (name: string) => rows.columns[table.columns.findIndex((entry) => entry.name === name)];
  const differences = table.differences.map(({ minuend, subtrahend }) => {
    const [from, less] = [column(minuend), column(subtrahend)];
    const result = new Float64Array(rows.length);
    for (let i = 0; i < rows.length; i++) result[i] = from[i] - less[i];
    return result;
  });
  return { ...rows, columns: [...rows.columns, ...differences] };
}
