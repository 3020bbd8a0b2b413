import type { Queryable } from '../../connection/database.js';
import { partsSql, type ColdPart } from '../../cold/cold-manifest.js';
import type { ColdReader } from '../../cold/cold-reader.js';
import { mergeSamples, type Samples } from '../../cold/merge-samples.js';
import { flagsOf, type TelemetryTable } from '../../schema/telemetry-tables.js';

/** PostgreSQL counts time from 2000-01-01. */
const postgresEpoch_us = 946_684_800e6;

/** Whose samples: SQL of the owner's number, with `$1` for `id`. */
export interface SampleOwner {
  sql: string;
  id: number;
}

/** Where samples lie; `cold` null: in PostgreSQL alone. */
export interface Stores {
  database: Queryable;
  cold: ColdReader | null;
}

/**
 * Samples of one owner from `from` (in) to `to` (out), from PostgreSQL and, where there is one, the cold store.
 *
 * Each column comes as one byte string that the database put together, so that a day of 10 s samples is one row of
 * ten values to receive instead of 8,640 of them to take apart.
 */
export async function readSamples(
  { database, cold }: Stores,
  table: TelemetryTable,
  owner: SampleOwner,
  columns: readonly string[],
  { from, to }: { from: Date; to: Date },
): Promise<Samples> {
  const differences = table.differences.filter(({ name }) => columns.includes(name));
  // What a difference is taken of is needed where two rows become one.
  const inputs = cold === null ? [] : differences.flatMap(({ minuend, subtrahend }) => [minuend, subtrahend]);
  const read = [...new Set([...columns, ...inputs])];
  const wanted = ({ time_s, columns: all }: Samples): Samples => ({
    time_s,
    columns: columns.map((name) => all[read.indexOf(name)]),
  });
  const parts = cold === null ? 'null' : partsSql(table.name, owner.sql, '$2', '$3');
  const { rows } = await database.query({
    text: `select ${parts} as parts, ${packed(table, read)} from (
      select * from ${table.name} where ${table.owner} = ${owner.sql} and time >= $2 and time < $3 order by time) as sample`,
    values: [owner.id, from, to],
    rowMode: 'array',
  } as never);
  const [found, times, ...values] = rows[0] as unknown as [ColdPart[] | null, ...(Buffer | null)[]];
  const hot: Samples = { time_s: decodeTimes(times), columns: values.map(decodeReals) };
  if (cold === null || found === null) return wanted(hot);
  const old = await cold.samples(table, found, read, {
    from_s: from.getTime() / 1000,
    to_s: to.getTime() / 1000,
  });
  return wanted(
    mergeSamples(
      old,
      hot,
      differences.map(({ name, minuend, subtrahend }) => ({
        ...{ at: read.indexOf(name), minuend: read.indexOf(minuend), subtrahend: read.indexOf(subtrahend) },
      })),
    ),
  );
}

function packed(table: TelemetryTable, columns: readonly string[]): string {
  const flags = flagsOf(table);
  return [
    `string_agg(timestamptz_send(time), '')`,
    ...columns.map(
      (name) =>
        `string_agg(float4send(coalesce(${flags.has(name) ? `${name}::int::real` : name}, 'NaN')), '')`,
    ),
  ].join(', ');
}

function decodeTimes(bytes: Buffer | null): Float64Array {
  if (!bytes) return new Float64Array(0);
  const result = new Float64Array(bytes.length / 8);
  for (let i = 0; i < result.length; i++) {
    const time_us = bytes.readInt32BE(i * 8) * 2 ** 32 + bytes.readUInt32BE(i * 8 + 4);
    // One rounding, as the database itself does it.
    result[i] = (time_us + postgresEpoch_us) / 1e6;
  }
  return result;
}

function decodeReals(bytes: Buffer | null): Float64Array {
  if (!bytes) return new Float64Array(0);
  const result = new Float64Array(bytes.length / 4);
  for (let i = 0; i < result.length; i++) result[i] = bytes.readFloatBE(i * 4);
  return result;
}
