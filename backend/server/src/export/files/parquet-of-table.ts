import { PassThrough } from 'node:stream';
import type { Batch, Column, ColumnType } from '../column.js';
import { writeParquet } from './parquet-file.js';

type Cell = string | number | boolean | null;

/** A table whose columns hang on what was asked, and so are typed by what they hold. */
export interface AskedTable {
  name: string;
  columns: readonly string[];
  rows: AsyncIterable<readonly Cell[]>;
}

const instant = /^\d{4}-\d\d-\d\dT\d\d:\d\d:\d\d(\.\d+)?Z$/;

function typeOf(cells: readonly Cell[]): ColumnType {
  const known = cells.filter((cell) => cell !== null);
  if (known.length === 0 || known.every((cell) => typeof cell === 'number'))
    return known.length > 0 &&
      known.every((cell) => Number.isInteger(cell) && Math.abs(cell as number) < 2 ** 31)
      ? 'integer'
      : 'double';
  if (known.every((cell) => typeof cell === 'boolean')) return 'flag';
  return known.every((cell) => typeof cell === 'string' && instant.test(cell)) ? 'time' : 'text';
}

const valueOf = (type: ColumnType, cell: Cell): Cell => {
  if (cell === null || (typeof cell === 'number' && !Number.isFinite(cell))) return null;
  if (type === 'time') return Date.parse(cell as string) / 1000;
  return type === 'text' ? String(cell) : cell;
};

/** The answer to a question as one Parquet file; it is in memory, as answers are small beside what they are drawn from. */
export async function parquetOfTable({
  name,
  columns: names,
  rows: coming,
}: AskedTable): Promise<PassThrough> {
  const rows: (readonly Cell[])[] = [];
  for await (const row of coming) rows.push(row);
  const cells = names.map((_, at) => rows.map((row) => row[at] ?? null));
  const columns = names.map((column, at): Column => ({ name: column, type: typeOf(cells[at]), meaning: '' }));
  async function* batches(): AsyncGenerator<Batch> {
    yield {
      rows: rows.length,
      columns: columns.map(({ type }, at) => ({ values: cells[at].map((cell) => valueOf(type, cell)) })),
    };
  }
  const to = new PassThrough();
  writeParquet(to, columns, batches(), { table: name }).then(
    () => to.end(),
    (error: Error) => to.destroy(error),
  );
  return to;
}
