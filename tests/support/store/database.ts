import { randomBytes } from 'node:crypto';
import { chmod, mkdtemp, rm } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { startEmbeddedPostgres } from '../../../backend/server/src/embedded/postgres.js';
import { findFreePort as freePort } from '../../../backend/server/src/embedded/settings.js';
import { createPool, Database, ensureDatabase, migrate } from '../../../backend/server/src/storage/index.js';

export { freePort };

/** A folder that any user may enter, as PostgreSQL does not run as root. */
export async function temporaryFolder(name: string): Promise<string> {
  const folder = await mkdtemp(join(tmpdir(), `coldrounds-${name}-`));
  await chmod(folder, 0o755);
  return folder;
}

/** Names the address of the server that the files of a run share (`shared-server.ts`). */
export const sharedServerVariable = 'COLDROUNDS_TEST_SERVER';
/** On that server, the database that has had all migrations. */
export const migratedTemplate = 'migrated';

export interface DatabaseServer {
  /** Makes a new database for `openMigrated` and returns its address. Where the server has a template, its tables are there. */
  newDatabase(): Promise<string>;
  /** Makes a new database with nothing in it and returns its address. */
  emptyDatabase(): Promise<string>;
  stop(): Promise<void>;
}

/** A server to test on: the one named by `url`, the one that the files of a run share, or one of its own in a temporary folder. */
export async function startDatabaseServer(url?: string): Promise<DatabaseServer> {
  const shared = process.env[sharedServerVariable];
  if (url ?? shared) return url ? withoutTemplate(url) : onShared(shared!);
  const folder = await temporaryFolder('postgres');
  const postgres = await startEmbeddedPostgres({ dataDir: folder, port: await freePort() });
  return {
    ...withoutTemplate(postgres.url),
    stop: async () => {
      await postgres.stop();
      await rm(folder, { recursive: true, force: true });
    },
  };
}

const newName = () => `test_${randomBytes(6).toString('hex')}`;

function addressOf(serverUrl: string, database: string): string {
  const url = new URL(serverUrl);
  url.pathname = `/${database}`;
  return url.href;
}

async function emptyDatabaseOn(serverUrl: string): Promise<string> {
  const name = newName();
  await ensureDatabase(serverUrl, name);
  return addressOf(serverUrl, name);
}

function withoutTemplate(serverUrl: string): DatabaseServer {
  const make = () => emptyDatabaseOn(serverUrl);
  return { newDatabase: make, emptyDatabase: make, stop: async () => {} };
}

function onShared(serverUrl: string): DatabaseServer {
  const made: string[] = [];
  const run = async (address: string, sql: string) => {
    const pool = createPool(address, { max: 1 });
    await pool.query(sql).finally(() => pool.end());
  };
  return {
    newDatabase: async () => {
      const name = newName();
      made.push(name);
      await run(serverUrl, `create database ${name} template ${migratedTemplate}`);
      const address = addressOf(serverUrl, name);
      // A migration draws it, so that each database has its own.
      await run(address, 'update cold_store set id = gen_random_uuid()');
      return address;
    },
    emptyDatabase: async () => {
      const address = await emptyDatabaseOn(serverUrl);
      made.push(new URL(address).pathname.slice(1));
      return address;
    },
    stop: async () => {
      // One that is still in use goes with the server.
      for (const name of made) await run(serverUrl, `drop database ${name}`).catch(() => {});
    },
  };
}

export async function openMigrated(url: string): Promise<Database> {
  const database = new Database(createPool(url));
  await migrate(database.pool);
  return database;
}

export interface Engine {
  name: string;
  url: string | undefined;
  skip: boolean;
}

/** `.ci/run` sets it for its second run, on real servers: the embedded one has had the same tests in the first. */
const realServersOnly = process.env.REAL_SERVERS_ONLY === 'on';

/** The engines that the same storage tests run on. */
export const engines: Engine[] = [
  { name: 'embedded PostgreSQL (partitions)', url: undefined, skip: realServersOnly },
  {
    name: process.env.DATABASE_URL_TIMESCALE
      ? 'TimescaleDB'
      : 'TimescaleDB (skipped: DATABASE_URL_TIMESCALE names no server)',
    url: process.env.DATABASE_URL_TIMESCALE,
    skip: !process.env.DATABASE_URL_TIMESCALE,
  },
];
