import { ByteWriter, ParquetWriter, type SchemaElement } from 'hyparquet-writer';
import type { Writable } from 'node:stream';
import { once } from 'node:events';
import type { Batch, Column, Values } from '../column.js';

/** Rows of a row group: what is in memory at a time, and what a reader can skip by its time. */
export const groupRows = 16_384;

const physical = {
  text: { type: 'BYTE_ARRAY', converted_type: 'UTF8' },
  time: { type: 'INT64', logical_type: { type: 'TIMESTAMP', isAdjustedToUTC: true, unit: 'MICROS' } },
  real: { type: 'FLOAT' },
  double: { type: 'DOUBLE' },
  integer: { type: 'INT32' },
  flag: { type: 'BOOLEAN' },
} as const;

const schemaOf = (columns: readonly Column[]): SchemaElement[] => [
  { name: 'root', num_children: columns.length },
  ...columns.map(({ name, type, required }): SchemaElement => ({
    ...{ name, repetition_type: required ? 'REQUIRED' : 'OPTIONAL' },
    ...physical[type],
  })),
];

/**
 * Writes batches as one Parquet file, a row group at a time, as they come; waits whenever the stream is full. Times are
 * microseconds in UTC, missing values null. Units and meanings stand in the file's own metadata.
 *
 * @param about words for the metadata, by their keys
 */
export async function writeParquet(
  to: Writable,
  columns: readonly Column[],
  batches: AsyncIterable<Batch>,
  about: Readonly<Record<string, string>> = {},
): Promise<number> {
  const writer = new ByteWriter();
  const file = new ParquetWriter({
    ...{ writer, schema: schemaOf(columns), statistics: true },
    kvMetadata: [
      ...Object.entries(about).map(([key, value]) => ({ key, value })),
      { key: 'columns', value: JSON.stringify(columns) },
    ],
  });
  let rows = 0;
  for await (const batch of inGroups(batches)) {
    file.write({
      columnData: columns.map((column, at) => columnData(column, batch, at)),
      rowGroupSize: groupRows,
      pageSize: 0,
    });
    rows += batch.rows;
    await send(to, writer);
  }
  file.finish();
  await send(to, writer);
  return rows;
}

/** Hands on what is written so far and begins anew; offsets count on. */
async function send(to: Writable, writer: ByteWriter): Promise<void> {
  const bytes = Buffer.from(writer.getBytes());
  writer.index = 0;
  if (bytes.length > 0 && !to.write(bytes)) await drained(to);
}

/** Until the stream takes more; an error where it never will. */
export async function drained(to: Writable): Promise<void> {
  if (to.destroyed) throw new StreamClosedError();
  const over = new AbortController();
  try {
    await Promise.race([
      once(to, 'drain', { signal: over.signal }),
      once(to, 'close', { signal: over.signal }).then(() => {
        throw new StreamClosedError();
      }),
    ]);
  } finally {
    over.abort();
  }
}

/** Whoever read the export has gone. */
export class StreamClosedError extends Error {
  override name = 'StreamClosedError';
}

/** Small batches put together, so that no row group holds a handful of rows. */
async function* inGroups(batches: AsyncIterable<Batch>): AsyncGenerator<Batch> {
  let kept: Batch[] = [];
  let rows = 0;
  for await (const batch of batches) {
    if (batch.rows === 0) continue;
    if (rows > 0 && rows + batch.rows > groupRows) {
      yield joined(kept);
      kept = [];
      rows = 0;
    }
    kept.push(batch);
    rows += batch.rows;
  }
  if (rows > 0) yield joined(kept);
}

function joined(batches: readonly Batch[]): Batch {
  if (batches.length === 1) return batches[0];
  return {
    rows: batches.reduce((sum, { rows }) => sum + rows, 0),
    columns: batches[0].columns.map((_, at) => ({
      values: batches.flatMap(({ rows, columns }) => listOf(columns[at], rows)),
    })),
  };
}

type Cell = string | number | boolean | null;

/** Values as a plain list: of times seconds, missing ones null. */
function listOf(values: Values, rows: number): readonly Cell[] {
  if ('constant' in values) return new Array<Cell>(rows).fill(values.constant);
  if ('times_s' in values) return Array.from(values.times_s);
  if ('reals' in values) return Array.from(values.reals, (value) => (Number.isNaN(value) ? null : value));
  return values.values;
}

function columnData({ name, type }: Column, { rows, columns }: Batch, at: number) {
  const values = columns[at];
  if (type === 'time') return { name, data: micros(values, rows), encoding: 'PLAIN' as const };
  // Noise of sensors fills their bits: packing takes longer than it saves.
  if ('reals' in values)
    return { name, data: realsOf(values.reals), encoding: 'PLAIN' as const, codec: 'UNCOMPRESSED' as const };
  return { name, data: listOf(values, rows) as Cell[] };
}

const micros = (values: Values, rows: number) =>
  listOf(values, rows).map((time_s) =>
    time_s === null ? null : BigInt(Math.round((time_s as number) * 1e6)),
  );

/** As they are where none is missing, which is quickest. */
function realsOf(reals: Float32Array): Float32Array | (number | null)[] {
  let missing = 0;
  for (let row = 0; row < reals.length; row++) if (Number.isNaN(reals[row])) missing++;
  if (missing === 0) return reals;
  const list = new Array<number | null>(reals.length).fill(null);
  if (missing < reals.length)
    for (let row = 0; row < reals.length; row++) if (!Number.isNaN(reals[row])) list[row] = reals[row];
  return list;
}
