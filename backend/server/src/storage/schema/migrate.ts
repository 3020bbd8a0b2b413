import { createHash } from 'node:crypto';
import { readFile, readdir } from 'node:fs/promises';
import { fileURLToPath } from 'node:url';
import type pg from 'pg';
import {
  createResultTables,
  createTimeSeries,
  makePartsAhead,
  type TimeSeriesEngine,
  timeSeriesEngine,
} from './time-series.js';

/** The database cannot be used by this version of the program; the message says what to change. */
export class DatabaseVersionError extends Error {
  override name = 'DatabaseVersionError';
}

export interface Migration {
  number: number;
  name: string;
  sql: string;
  checksum: string;
}

export interface MigrationOutcome {
  applied: string[];
  engine: TimeSeriesEngine;
}

const migrationsFolder = fileURLToPath(new URL('../../../migrations/', import.meta.url));
/** Any constant will do; it only has to be the same in every process that migrates. */
const advisoryLock = 0x636f_6c64;
/** Migrations after which a time-series table may be missing: the first, and the one that adds the condenser's. */
const bringTimeSeries = new Set([1, 6]);
const oldestServer = 140_000;

export async function readMigrations(folder = migrationsFolder): Promise<Migration[]> {
  const names = (await readdir(folder)).filter((name) => name.endsWith('.sql')).sort();
  const migrations = await Promise.all(
    names.map(async (name) => {
      const number = Number(/^(\d{4})-/.exec(name)?.[1]);
      if (!(number > 0)) throw new Error(`Migration ${name} must begin with a number of four digits.`);
      const sql = await readFile(`${folder}/${name}`, 'utf8');
      return { number, name, sql, checksum: createHash('sha256').update(sql).digest('hex') };
    }),
  );
  const twice = migrations.find(({ number }, index) => index > 0 && migrations[index - 1].number === number);
  if (twice) throw new Error(`Two migrations are numbered ${twice.number}.`);
  return migrations;
}

/**
 * Brings the database to this version: applies the numbered files that it has not had, in the order of their numbers,
 * which may have gaps, each in a transaction of its own, under an advisory lock so that several processes may start at
 * once. The time-series tables are made beside the files that speak of them. Throws `DatabaseVersionError` where the
 * database belongs to a newer version, was made from other files,
 * or is not ours.
 */
export async function migrate(pool: pg.Pool, folder?: string): Promise<MigrationOutcome> {
  const outcome = await applyMissing(pool, await readMigrations(folder));
  await makePartsAhead(pool);
  return outcome;
}

async function applyMissing(pool: pg.Pool, migrations: Migration[]): Promise<MigrationOutcome> {
  const client = await pool.connect();
  let failure: Error | undefined;
  try {
    await client.query('select pg_advisory_lock($1)', [advisoryLock]);
    await checkServer(client);
    const done = await appliedMigrations(client);
    checkHistory(migrations, done);
    const applied: string[] = [];
    const had = new Set(done.map(({ number }) => number));
    for (const migration of migrations.filter(({ number }) => !had.has(number))) {
      await apply(client, migration);
      applied.push(migration.name);
    }
    return { applied, engine: await timeSeriesEngine(client) };
  } catch (error) {
    failure = error as Error;
    throw error;
  } finally {
    // A connection that failed may hold an open transaction or the lock: closing it frees both.
    if (!failure) await client.query('select pg_advisory_unlock($1)', [advisoryLock]);
    client.release(failure);
  }
}

async function checkServer(client: pg.PoolClient): Promise<void> {
  const { rows } = await client.query<{ number: string; name: string }>(
    `select current_setting('server_version_num') as number, current_setting('server_version') as name`,
  );
  if (Number(rows[0].number) < oldestServer) {
    throw new DatabaseVersionError(
      `The database server is PostgreSQL ${rows[0].name}; Coldrounds needs 14 or newer. Point DATABASE_URL at a newer server.`,
    );
  }
}

interface Applied {
  number: number;
  name: string;
  checksum: string;
}

async function appliedMigrations(client: pg.PoolClient): Promise<Applied[]> {
  const { rows } = await client.query<{ ours: boolean; foreign: boolean }>(
    `select to_regclass('schema_migration') is not null as ours,
            to_regclass('site') is not null or to_regclass('reading') is not null as foreign`,
  );
  if (!rows[0].ours) {
    if (rows[0].foreign) {
      throw new DatabaseVersionError(
        'The database has tables with the same names as those of Coldrounds, made by another program. Point DATABASE_URL at an empty database.',
      );
    }
    await client.query(`create table schema_migration (
      number     integer primary key,
      name       text not null,
      checksum   text not null,
      applied_at timestamptz not null default now()
    )`);
    return [];
  }
  return (await client.query<Applied>('select number, name, checksum from schema_migration order by number'))
    .rows;
}

function checkHistory(migrations: Migration[], done: Applied[]): void {
  const known = new Map(migrations.map((migration) => [migration.number, migration]));
  const unknown = done.filter(({ number }) => !known.has(number)).at(-1);
  if (unknown) {
    throw new DatabaseVersionError(
      `The database was made by a newer version of Coldrounds (it has ${unknown.name}). Run that version or a newer one, or use another database or data folder.`,
    );
  }
  for (const entry of done) {
    if (known.get(entry.number)!.checksum !== entry.checksum) {
      throw new DatabaseVersionError(
        `The database was made with a different ${entry.name} from the one in this version. Use the version that made it, or another database or data folder.`,
      );
    }
  }
}

async function apply(client: pg.PoolClient, migration: Migration): Promise<void> {
  await client.query('begin');
  try {
    await client.query(migration.sql);
    if (bringTimeSeries.has(migration.number)) await createTimeSeries(client);
    await createResultTables(client, migration.number);
    await client.query('insert into schema_migration (number, name, checksum) values ($1, $2, $3)', [
      migration.number,
      migration.name,
      migration.checksum,
    ]);
    await client.query('commit');
  } catch (error) {
    await client.query('rollback').catch(() => {});
    throw error;
  }
}
