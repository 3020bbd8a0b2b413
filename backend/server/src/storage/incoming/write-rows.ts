import { pipeline } from 'node:stream/promises';
import { Readable } from 'node:stream';
import type pg from 'pg';
import { from as copyFrom } from 'pg-copy-streams';
import { allColumns, encodeRows } from './binary-copy.js';
import type { CompleteRows } from './series-rows.js';
import type { TelemetryTable } from '../schema/telemetry-tables.js';
import { hoursOf, type ChangedHour } from './touched-windows.js';

/** What changed in one table; repeats are not among it. */
export interface TableOutcome {
  rows: number;
  hours: ChangedHour[];
}

/** The column by which the samples of a circuit are counted: every circuit sends its suction pressure. */
const countedColumn = 'suction_pressure_pa';

/**
 * Writes rows of one table within a transaction: by COPY under a savepoint, by a merge where that meets a row that is
 * already there.
 */
export async function writeTable(
  client: pg.PoolClient,
  table: TelemetryTable,
  runs: CompleteRows[],
): Promise<TableOutcome> {
  if (runs.length === 0) return { rows: 0, hours: [] };
  const body = encodeRows(table, runs);
  await client.query('savepoint rows');
  try {
    await copyInto(client, table.name, table, body);
    await client.query('release savepoint rows');
    const counted = table.columns.findIndex(({ name }) => name === countedColumn);
    return { rows: runs.reduce((sum, run) => sum + run.length, 0), hours: hoursOf(runs, counted) };
  } catch (error) {
    if ((error as pg.DatabaseError).code !== '23505') throw error;
    await client.query('rollback to savepoint rows');
    return mergeInto(client, table, body);
  }
}

async function copyInto(
  client: pg.PoolClient,
  target: string,
  table: TelemetryTable,
  body: Buffer,
): Promise<void> {
  const columns = allColumns(table).join(', ');
  const stream = client.query(copyFrom(`copy ${target} (${columns}) from stdin (format binary)`));
  await pipeline(Readable.from(inPieces(body), { objectMode: false }), stream);
}

/** A stream that is handed one large buffer holds it twice. */
function* inPieces(body: Buffer): Generator<Buffer> {
  const size = 1 << 18;
  for (let at = 0; at < body.length; at += size) yield body.subarray(at, at + size);
}

async function mergeInto(client: pg.PoolClient, table: TelemetryTable, body: Buffer): Promise<TableOutcome> {
  const staging = `staging_${table.name}`;
  await client.query(
    `create temporary table if not exists ${staging} (like ${table.name}) on commit delete rows`,
  );
  await client.query(`truncate ${staging}`);
  await copyInto(client, staging, table, body);
  const { rows: hours } = await client.query<ChangedHour>(mergeStatement(table, staging));
  return { rows: hours.reduce((sum, { rows }) => sum + rows, 0), hours };
}

/** Inserts what is new, fills what is missing, leaves alone what says nothing new, and tells what changed in which hours. */
function mergeStatement(table: TelemetryTable, staging: string): string {
  const fill = table.columns.map(({ name }) => `${name} = coalesce(old.${name}, excluded.${name})`);
  const take = table.differences.map(
    ({ name, minuend, subtrahend }) =>
      `${name} = coalesce(old.${name}, coalesce(old.${minuend}, excluded.${minuend}) - coalesce(old.${subtrahend}, excluded.${subtrahend}))`,
  );
  // What a row was before the merge is not told: a row counts where the merged one brought the value.
  const samples = table.columns.some(({ name }) => name === countedColumn)
    ? {
        of: `count(s.${countedColumn})`,
        from: `join ${staging} s on s.${table.owner} = c.owner and s.time = c.time`,
      }
    : { of: '0', from: '' };
  const news = table.columns.map(({ name }) => `(old.${name} is null and excluded.${name} is not null)`);
  return `with changed as (
    insert into ${table.name} as old (${allColumns(table).join(', ')})
    select ${allColumns(table).join(', ')} from ${staging} order by ${table.owner}, time
    on conflict (${table.owner}, time) do update set ${[...fill, ...take].join(', ')}
    where ${news.join(' or ')}
    returning ${table.owner} as owner, time
  )
  select c.owner as "ownerId", floor(extract(epoch from c.time)::float8 / 3600)::integer as hour,
         count(*)::integer as rows, ${samples.of}::integer as samples
    from changed c ${samples.from} group by 1, 2 order by 1, 2`;
}
