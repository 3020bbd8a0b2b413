import { createReadStream } from 'node:fs';
import { readFile } from 'node:fs/promises';
import { join } from 'node:path';
import { pipeline } from 'node:stream/promises';
import { createGunzip } from 'node:zlib';
import type pg from 'pg';
import { from as copyFrom } from 'pg-copy-streams';
import { inTransaction } from '../connection/database.js';
import { PartitionKeeper, weeksOf } from '../schema/time-series.js';
import {
  DumpError,
  fileOf,
  inOrderOfReference,
  manifestName,
  migrationsOf,
  quoted,
  tablesOf,
  type DumpedTable,
  type DumpManifest,
} from './dumped-tables.js';

/**
 * Puts a dump into a database of the same version that nothing has been put into yet, whole or not at all. Partitions are made
 * before, as they are committed by themselves.
 */
export async function restore(pool: pg.Pool, folder: string): Promise<DumpManifest> {
  const manifest = await readManifest(folder);
  await requireSameVersion(pool, manifest);
  await requireUnused(pool);
  const partitions = new PartitionKeeper(pool);
  for (const { name, span } of manifest.tables) if (span) await partitions.ensure(name, weeksBetween(span));
  await inTransaction(pool, async (client) => {
    const names = await inOrderOfReference(
      client,
      manifest.tables.map(({ name }) => name),
    );
    const guarded = await tablesWithTriggers(client);
    for (const table of guarded) await client.query(`alter table ${table} disable trigger user`);
    // What migrations put in comes again from the dump.
    for (const name of [...names].reverse())
      await client.query(`delete from ${client.escapeIdentifier(name)}`);
    for (const name of names)
      await restoreTable(
        client,
        folder,
        manifest.tables.find((table) => table.name === name)!,
      );
    await continueIdentities(client);
    for (const table of guarded) await client.query(`alter table ${table} enable trigger user`);
  });
  await pool.query('analyze');
  return manifest;
}

async function readManifest(folder: string): Promise<DumpManifest> {
  try {
    const manifest = JSON.parse(await readFile(join(folder, manifestName), 'utf8')) as DumpManifest;
    if (manifest.format === 1) return manifest;
  } catch {
    // Said below.
  }
  throw new DumpError(`The folder ${folder} holds no whole dump: ${manifestName} is missing or not ours.`);
}

async function requireSameVersion(pool: pg.Pool, { migrations, tables }: DumpManifest): Promise<void> {
  const ours = await migrationsOf(pool);
  if (JSON.stringify(ours) !== JSON.stringify(migrations))
    throw new DumpError(
      `The dump was made by another version of Coldrounds (its newest migration is ${migrations.at(-1)?.name ?? 'none'}, ` +
        `this one's is ${ours.at(-1)?.name ?? 'none'}). Restore it with that version, then update.`,
    );
  // Names of tables and columns come from a file: only those of this version are taken.
  const known = new Map((await tablesOf(pool)).map(({ name, columns }) => [name, columns]));
  const unknown = tables.find(
    ({ name, columns }) => !columns.every((column) => known.get(name)?.includes(column) ?? false),
  );
  if (unknown !== undefined) throw new DumpError(`The dump has a table that is not ours: ${unknown.name}.`);
}

async function requireUnused(pool: pg.Pool): Promise<void> {
  const { rows } = await pool.query<{ used: boolean }>(
    'select exists (select from site) or exists (select from person where not invented) as used',
  );
  if (rows[0].used)
    throw new DumpError(
      'The database has sites or accounts already. A dump is restored into a new one: set DATABASE_URL, or start with a new DATA_DIR and DEMO=off.',
    );
}

const week_ms = 7 * 86_400_000;

function weeksBetween({ from, to }: { from: string; to: string }): Set<number> {
  const times: number[] = [];
  for (let at = Date.parse(from); at <= Date.parse(to) + week_ms; at += week_ms)
    times.push(Math.min(at, Date.parse(to)));
  return new Set(weeksOf(times));
}

/** Tables with triggers of ours; those of extensions stay as they are. */
async function tablesWithTriggers(client: pg.PoolClient): Promise<string[]> {
  const { rows } = await client.query<{ table: string }>(
    `select distinct t.tgrelid::regclass::text as "table" from pg_trigger t join pg_proc p on p.oid = t.tgfoid
       join pg_class c on c.oid = t.tgrelid
      where not t.tgisinternal and p.pronamespace = current_schema()::regnamespace
        and c.relnamespace = current_schema()::regnamespace`,
  );
  return rows.map(({ table }) => table);
}

async function restoreTable(client: pg.PoolClient, folder: string, { name, columns, rows }: DumpedTable) {
  const stream = client.query(
    copyFrom(`copy ${client.escapeIdentifier(name)} (${quoted(client, columns)}) from stdin`),
  );
  await pipeline(createReadStream(join(folder, fileOf(name))), createGunzip(), stream);
  if (stream.rowCount !== rows)
    throw new DumpError(`The dump of ${name} is damaged: it has ${stream.rowCount} of ${rows} rows.`);
}

/** New rows get numbers after those that were restored. */
async function continueIdentities(client: pg.PoolClient): Promise<void> {
  const { rows } = await client.query<{ table: string; column: string }>(
    `select c.oid::regclass::text as "table", a.attname as "column"
       from pg_class c join pg_attribute a on a.attrelid = c.oid and a.attidentity <> ''
      where c.relnamespace = current_schema()::regnamespace and not c.relispartition`,
  );
  for (const { table, column } of rows)
    await client.query(
      `select setval(pg_get_serial_sequence($1, $2), greatest(max(${client.escapeIdentifier(column)}), 1),
                     max(${client.escapeIdentifier(column)}) is not null) from ${table}`,
      [table, column],
    );
}
