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

export interface DatabaseServer {
  /** Makes a new empty database and returns its address. */
  newDatabase(): Promise<string>;
  stop(): Promise<void>;
}

/** A server to test on: the one named by `url`, or an embedded one in a temporary folder. */
export async function startDatabaseServer(url?: string): Promise<DatabaseServer> {
  if (url) return { newDatabase: () => newDatabaseOn(url), stop: async () => {} };
  const folder = await temporaryFolder('postgres');
  const postgres = await startEmbeddedPostgres({ dataDir: folder, port: await freePort() });
  return {
    newDatabase: () => newDatabaseOn(postgres.url),
    stop: async () => {
      await postgres.stop();
      await rm(folder, { recursive: true, force: true });
    },
  };
}

async function newDatabaseOn(serverUrl: string): Promise<string> {
  const name = `test_${randomBytes(6).toString('hex')}`;
  await ensureDatabase(serverUrl, name);
  const url = new URL(serverUrl);
  url.pathname = `/${name}`;
  return url.href;
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

/** The engines that the same storage tests run on. */
export const engines: Engine[] = [
  { name: 'embedded PostgreSQL (partitions)', url: undefined, skip: false },
  {
    name: process.env.DATABASE_URL_TIMESCALE
      ? 'TimescaleDB'
      : 'TimescaleDB (skipped: DATABASE_URL_TIMESCALE names no server)',
    url: process.env.DATABASE_URL_TIMESCALE,
    skip: !process.env.DATABASE_URL_TIMESCALE,
  },
];
