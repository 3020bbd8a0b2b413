import { rm } from 'node:fs/promises';
import { startEmbeddedPostgres } from '../../../backend/server/src/embedded/postgres.js';
import { createPool, ensureDatabase, migrate } from '../../../backend/server/src/storage/index.js';
import { freePort, migratedTemplate, sharedServerVariable, temporaryFolder } from './database.js';

/**
 * One database server for all files of a run, with a database that has had all migrations as the template of theirs: to start
 * a server and to migrate anew takes a file longer than most of its tests. Tests that end their server start their own.
 */
export async function setup(): Promise<(() => Promise<void>) | undefined> {
  // Another project of the same run has it.
  if (process.env[sharedServerVariable] !== undefined) return undefined;
  const folder = await temporaryFolder('shared-postgres');
  const postgres = await startEmbeddedPostgres({
    dataDir: folder,
    port: await freePort(),
    // For the pools of several files at once; and nothing of it has to outlive a loss of power.
    settings: { max_connections: '200', fsync: 'off' },
  });
  await ensureDatabase(postgres.url, migratedTemplate);
  const url = new URL(postgres.url);
  url.pathname = `/${migratedTemplate}`;
  const pool = createPool(url.href);
  await migrate(pool);
  await pool.end();
  process.env[sharedServerVariable] = postgres.url;
  return async () => {
    delete process.env[sharedServerVariable];
    await postgres.stop();
    await rm(folder, { recursive: true, force: true });
  };
}
