import { readFile, rm, writeFile } from 'node:fs/promises';
import { join } from 'node:path';

const fileIn = (dataDir: string) => join(dataDir, 'database-url');

/**
 * Leaves the address of the run's database in its data folder while it runs, readable by its owner alone, so that the
 * commands that need the store find it. Returns how to take it away again.
 */
export async function keepDatabaseAddress(dataDir: string, url: string): Promise<() => Promise<void>> {
  await writeFile(fileIn(dataDir), `${url}\n`, { mode: 0o600 });
  return () => rm(fileIn(dataDir), { force: true });
}

/** The database of the embedded run on a data folder, or undefined where none runs there. */
export async function databaseOfRun(dataDir: string): Promise<string | undefined> {
  const text = await readFile(fileIn(dataDir), 'utf8').catch(() => undefined);
  return text?.trim();
}
