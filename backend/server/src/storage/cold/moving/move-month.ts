import { createWriteStream } from 'node:fs';
import { rm, stat } from 'node:fs/promises';
import { join } from 'node:path';
import { pipeline } from 'node:stream/promises';
import type pg from 'pg';
import { to as copyTo } from 'pg-copy-streams';
import { inTransaction } from '../../connection/database.js';
import type { TelemetryTable } from '../../schema/telemetry-tables.js';
import { namesOf, type ColdFile, type ColdManifest, type NumberedFile } from '../cold-manifest.js';
import { ColdStoreError, type ColdPlace } from '../cold-place.js';
import { coldFileName, storedColumns, unfinishedName } from '../cold-tables.js';
import type { Duck } from '../duck.js';
import { readFileOf } from '../read-file.js';
import { choosePart, monthRows, type MonthFile } from './choose-part.js';
import {
  forgetMonth,
  holdsWritten,
  sumOfValues,
  writeMonth,
  type NamedOwner,
  type ValueSummary,
} from './write-month.js';

/** Rows of a site that are to be moved: of one month, from `from` (in) to `to` (out). One file's owners of them go at once. */
export interface Move {
  table: TelemetryTable;
  siteId: number;
  siteKey: string;
  from: Date;
  to: Date;
}

/** Where a move stands; what fails at any of these leaves either all of it or nothing. */
export type MoveStep = 'staged' | 'written' | 'placed' | 'recorded' | 'committed' | 'settled';

export interface MoveParts {
  pool: pg.Pool;
  manifest: ColdManifest;
  place: ColdPlace;
  duck: Duck;
  /** Rows that a file is expected to have of its month at most, but of one owner any number. */
  most_rows: number;
  /** Called as each step is done; the next begins when it has ended. */
  reached?: (step: MoveStep) => void | Promise<void>;
}

/**
 * Moves rows into a file of the month: written under an unfinished name, read back, recorded and dropped in one transaction, then
 * given its name. The transaction sees the rows as they stood at one moment; a row that changes meanwhile ends it (PostgreSQL: serialization
 * failure), and one that comes meanwhile stays. Gives the number of rows.
 */
export async function moveMonth(parts: MoveParts, move: Move): Promise<number> {
  const { pool, manifest, place, reached = () => {} } = parts;
  const { file, rows } = await inTransaction(pool, async (client) => {
    await client.query('set transaction isolation level repeatable read');
    await client.query(
      `select set_config(name, '0', true) from pg_settings
        where name = 'timescaledb.max_tuples_decompressed_per_dml_transaction'`,
    );
    const moved = await recordMove(parts, client, move);
    await dropRows(client, move, moved.ownerIds, moved.rows);
    await reached('recorded');
    return moved;
  });
  await reached('committed');
  await settle(manifest, place, file);
  await reached('settled');
  return rows;
}

/** Gives a recorded file its name. May be done again after it was ended anywhere. */
export async function settle(manifest: ColdManifest, place: ColdPlace, file: ColdFile): Promise<void> {
  const names = new Set(await place.names());
  if (names.has(unfinishedName(file.name, file.id)))
    await place.rename(unfinishedName(file.name, file.id), file.name);
  else if (!names.has(file.name)) throw new ColdStoreError(`The cold store has lost its file ${file.name}.`);
  await manifest.settled(file.id);
}

async function recordMove(parts: MoveParts, client: pg.PoolClient, move: Move) {
  const { manifest, place, duck, reached = () => {} } = parts;
  const { table, siteId } = move;
  const month = move.from.toISOString().slice(0, 8).concat('01');
  const files = await manifest.filesOf(client, { table: table.name, month, siteId });
  const all = await manifest.owners(client, table.ownerTable, siteId);
  const toMove = await ownersToMove(client, move, all);
  const { number, ownerIds } = choosePart(files.map(inMonth), toMove, parts.most_rows);
  const owners = all.filter(({ ownerId }) => ownerIds.includes(ownerId));
  const old = files.find((file) => file.number === number) ?? null;
  const id = await manifest.nextId(client);
  const folder = await duck.folder();
  const [staged, target] = [join(folder, `${id}.csv`), join(folder, `${id}.parquet`)];
  try {
    return await duck.connected(async (connection) => {
      await stage(client, move, owners, staged);
      await reached('staged');
      const made = await readFileOf(place, old === null ? [] : namesOf(old), (path) =>
        writeMonth(
          connection,
          table,
          { staged, owners, old: old === null ? null : { file: path!, ownerIds: idsOf(old.owners) } },
          target,
        ),
      );
      requireSame(await valuesInPostgres(client, move, owners), made.staged);
      await reached('written');
      const name = coldFileName(table.name, month, move.siteKey, number);
      await place.put(target, unfinishedName(name, id));
      const whole = await place.withFile(unfinishedName(name, id), (path) =>
        holdsWritten(connection, table, path),
      );
      if (!whole)
        throw new ColdStoreError(`The file ${name}, read back, is not what was written. Nothing is dropped.`);
      await reached('placed');
      await forgetMonth(connection);
      const { size: bytes } = await stat(target);
      const file = { id, table: table.name, name, settled: false };
      await manifest.record(
        client,
        { ...file, number, month, siteId, bytes, replaces: old?.id ?? null },
        made.written,
      );
      const rows = made.staged.reduce((sum, one) => sum + one.rows, 0);
      return { file, rows, ownerIds };
    });
  } finally {
    await rm(staged, { force: true });
    await rm(target, { force: true });
  }
}

const within = ({ table, from, to }: Move, ownerIds: readonly number[]): string =>
  `${table.owner} = any('{${ownerIds.join(',')}}') and time >= '${from.toISOString()}' and time < '${to.toISOString()}'`;

const idsOf = (owners: readonly { ownerId: number }[]) => owners.map(({ ownerId }) => ownerId);

const day_ms = 86_400_000;

const inMonth = ({ number, owners }: NumberedFile): MonthFile => ({
  number,
  owners: owners.map(({ ownerId, rows, days }) => ({ ownerId, monthRows: monthRows(rows, days) })),
});

/**
 * Owners that have rows to be moved, in the order of their ids.
 *
 * @throws ColdStoreError where there are none any more: retention may have dropped them since they were seen.
 */
async function ownersToMove(
  client: pg.PoolClient,
  move: Move,
  owners: readonly NamedOwner[],
): Promise<MonthFile['owners']> {
  const { table, from, to } = move;
  const { rows: found } = await client.query<{ ownerId: number; rows: number }>(
    `select ${table.owner} as "ownerId", count(*)::float8 as rows from ${table.name}
      where ${within(move, idsOf(owners))} group by 1 order by 1`,
  );
  if (found.length === 0) throw new ColdStoreError('Readings that were to be moved are not there any more.');
  const days = (to.getTime() - from.getTime()) / day_ms;
  return found.map(({ ownerId, rows }) => ({ ownerId, monthRows: monthRows(rows, days) }));
}

async function stage(
  client: pg.PoolClient,
  move: Move,
  owners: readonly NamedOwner[],
  file: string,
): Promise<void> {
  const { table } = move;
  const columns = storedColumns(table).map(({ name }) => name);
  // Shortest text that reads back as the same number (PostgreSQL: extra_float_digits above 0).
  await client.query('set local extra_float_digits = 1');
  const rows = client.query(
    copyTo(
      `copy (select ${table.owner}, (extract(epoch from time) * 1000000)::bigint, ${columns.join(', ')}
               from ${table.name} where ${within(move, idsOf(owners))}) to stdout (format csv)`,
    ),
  );
  await pipeline(rows, createWriteStream(file, { mode: 0o600 }));
}

async function valuesInPostgres(
  client: pg.PoolClient,
  move: Move,
  owners: readonly NamedOwner[],
): Promise<ValueSummary[]> {
  const { table } = move;
  const columns = storedColumns(table);
  const { rows } = await client.query<ValueSummary>(
    `select ${table.owner} as "ownerId", count(*)::float8 as rows,
            (extract(epoch from min(time)) * 1000000)::float8 as first_us, (extract(epoch from max(time)) * 1000000)::float8 as last_us,
            (${columns.map(({ name }) => `count(${name})`).join(' + ')})::float8 as values, ${sumOfValues(columns, 'float8')} as sum
       from ${table.name} where ${within(move, idsOf(owners))} group by 1 order by 1`,
  );
  return rows;
}

/** Sums differ in their last digits by the order of adding. */
function requireSame(wanted: readonly ValueSummary[], staged: readonly ValueSummary[]): void {
  const same =
    wanted.length === staged.length &&
    wanted.every((one, i) => {
      const other = staged[i];
      const exact = (['ownerId', 'rows', 'first_us', 'last_us', 'values'] as const).every(
        (key) => one[key] === other[key],
      );
      return exact && Math.abs(one.sum - other.sum) <= 1e-9 * Math.max(1, Math.abs(one.sum));
    });
  if (!same)
    throw new ColdStoreError('Readings that were to be moved did not come over whole. Nothing is dropped.');
}

async function dropRows(
  client: pg.PoolClient,
  move: Move,
  ownerIds: readonly number[],
  rows: number,
): Promise<void> {
  const { rowCount } = await client.query(`delete from ${move.table.name} where ${within(move, ownerIds)}`);
  if (rowCount !== rows)
    throw new ColdStoreError(
      `${rowCount} rows would be dropped where ${rows} were moved. Nothing is dropped.`,
    );
}
