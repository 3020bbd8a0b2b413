import { fork } from 'node:child_process';
import { mkdir, rm } from 'node:fs/promises';
import { fileURLToPath } from 'node:url';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { FolderPlace } from '../../../backend/server/src/storage/cold/folder-place.js';
import { type Database } from '../../../backend/server/src/storage/index.js';
import {
  type DatabaseServer,
  openMigrated,
  startDatabaseServer,
  temporaryFolder,
} from '../../support/store/database.js';
import { seedFleet } from '../../support/store/fleet.js';
import { allThatIsRead, coldRows, hotRows, openStore, storeDrawn } from './cold-case.js';

const runner = fileURLToPath(new URL('../../support/run-ts.mjs', import.meta.url));
const mover = fileURLToPath(new URL('mover-process.ts', import.meta.url));

describe('a process that is killed while it moves readings', () => {
  let server: DatabaseServer;
  let url: string;
  let database: Database;
  let folder: string;
  beforeAll(async () => {
    server = await startDatabaseServer();
    url = await server.newDatabase();
    database = await openMigrated(url);
    await seedFleet(database, 1, 2);
    await storeDrawn(database);
    folder = await temporaryFolder('kill');
    await mkdir(`${folder}/store`);
  });
  afterAll(async () => {
    await database?.close();
    await server?.stop();
    await rm(folder, { recursive: true, force: true });
  });

  /** Each circuit has a file of its own. */
  const most_rows = 800;
  const killedAt = (step: string, time: number) =>
    new Promise<string | null>((resolve) => {
      const env = {
        ...{ ...process.env, COLD_DATABASE: url, COLD_FOLDER: folder },
        ...{ COLD_STEP: step, COLD_TIME: String(time), COLD_ROWS: String(most_rows) },
      };
      fork(runner, [mover], { env, stdio: 'inherit' }).once('exit', (_, signal) => resolve(signal));
    });

  it('loses and doubles nothing, and the next one finishes or undoes what it left', async () => {
    const cold = await openStore(database, new FolderPlace(`${folder}/store`));
    const before = await allThatIsRead(database, cold.store);
    const rows = await hotRows(database);
    for (const [step, time] of [
      ['written', 1],
      // Of the second circuit, while the first one's file is there.
      ...[['placed', 2] as const, ['recorded', 1] as const, ['committed', 2] as const],
    ] as const) {
      expect(await killedAt(step, time), step).toBe('SIGKILL');
      expect((await hotRows(database)) + (await coldRows(database)), step).toBe(rows);
      expect(await allThatIsRead(database, cold.store), step).toEqual(before);
    }
    // The database ends the transactions of the killed process when it notices.
    await expect.poll(() => cold.move({ most_rows }), { timeout: 30_000 }).not.toBeNull();
    expect(await allThatIsRead(database, cold.store)).toEqual(before);
    expect((await hotRows(database)) + (await coldRows(database))).toBe(rows);
    expect((await cold.place.names()).filter((name) => name.includes('unfinished'))).toEqual([]);
    const names = await cold.place.names();
    expect(names).toContain('readings/2026-10/harbour.parquet');
    expect(names).toContain('readings/2026-10/harbour.2.parquet');
    await cold.close();
  });
});
