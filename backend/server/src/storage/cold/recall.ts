import type pg from 'pg';
import { inTransaction, type Queryable } from '../connection/database.js';
import type { TelemetryTable } from '../schema/telemetry-tables.js';
import { PartitionKeeper, weeksOf } from '../schema/time-series.js';
import { partsSql, type ColdPart } from './cold-manifest.js';
import { ColdStoreError } from './cold-place.js';
import type { ColdReader } from './cold-reader.js';
import { storedColumns } from './cold-tables.js';
import type { Samples } from './merge-samples.js';

/** Rows of one statement that puts readings back. */
const rowsAtOnce = 10_000;

/**
 * Takes readings of one owner back into PostgreSQL, where they can be changed: files are never changed in part. What they held of the
 * owner does not count from then on, and the next move writes the month anew.
 */
export class ColdRecall {
  private readonly partitions: PartitionKeeper;

  constructor(
    private readonly pool: pg.Pool,
    private readonly reader: ColdReader,
  ) {
    this.partitions = new PartitionKeeper(pool);
  }

  /**
   * From the first month that reaches beyond `from_s` on, until as many rows as `atLeast` are back, each month in a transaction of its
   * own: values stay as they are, so that telemetry is stored meanwhile.
   *
   * @throws ColdStoreError where a move is at the same file; the whole may be tried again
   */
  async takeBack(table: TelemetryTable, ownerId: number, from_s: number, atLeast: number): Promise<void> {
    let back = 0;
    for (const part of await this.parts(this.pool, table, ownerId, from_s)) {
      if (back >= atLeast) return;
      await inTransaction(this.pool, (client) => this.takePart(client, table, part));
      back += part.rows;
    }
  }

  /** Where the first reading from a moment on lies that is still in a file; null: nothing is. */
  async firstAway_s(
    client: Queryable,
    table: TelemetryTable,
    ownerId: number,
    from_s: number,
  ): Promise<number | null> {
    const [part] = await this.parts(client, table, ownerId, from_s);
    return part === undefined ? null : Math.max(from_s, part.first_s);
  }

  private async parts(client: Queryable, table: TelemetryTable, ownerId: number, from_s: number) {
    const { rows } = await client.query<{ parts: ColdPart[] | null }>(
      `select ${partsSql(table.name, '$1', 'to_timestamp($2)', `'infinity'`)} as parts`,
      [ownerId, from_s],
    );
    return rows[0].parts ?? [];
  }

  private async takePart(client: Queryable, table: TelemetryTable, part: ColdPart): Promise<void> {
    // A move of the same file waits for this, and this for it.
    const { rowCount } = await client.query('select from cold_file where id = $1 for update', [part.id]);
    if (rowCount !== 1) throw new ColdStoreError('Readings were moved while they were to be taken back.');
    const columns = storedColumns(table).map(({ name }) => name);
    const span = { from_s: part.first_s, to_s: part.last_s + 0.001 };
    const samples = await this.reader.samples(table, [part], columns, span);
    await this.partitions.ensure(table.name, weeksOf(samples.time_s.map((time_s) => time_s * 1000)));
    for (let at = 0; at < samples.time_s.length; at += rowsAtOnce)
      await putBack(client, table, part.ownerId, samples, at);
    await client.query('delete from cold_part where file_id = $1 and owner_id = $2', [part.id, part.ownerId]);
  }
}

/** What the file had stays, what came late fills it. */
async function putBack(
  client: Queryable,
  table: TelemetryTable,
  ownerId: number,
  { time_s, columns }: Samples,
  at: number,
): Promise<void> {
  const stored = storedColumns(table);
  const names = stored.map(({ name }) => name);
  const given = stored.map(({ type }, column) =>
    Array.from(columns[column].subarray(at, at + rowsAtOnce), (value) =>
      Number.isNaN(value) ? null : type === 'boolean' ? value !== 0 : value,
    ),
  );
  const types = stored.map(({ type }, column) => `$${column + 3}::${type}[]`);
  await client.query(
    `insert into ${table.name} as late (${table.owner}, time, ${names.join(', ')})
     select $1, to_timestamp(time_s), ${names.join(', ')}
       from unnest($2::float8[], ${types.join(', ')}) as old(time_s, ${names.join(', ')})
     on conflict (${table.owner}, time) do update set ${names
       .map((name) => `${name} = coalesce(excluded.${name}, late.${name})`)
       .join(', ')}`,
    [ownerId, Array.from(time_s.subarray(at, at + rowsAtOnce)), ...given],
  );
}
