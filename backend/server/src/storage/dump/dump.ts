import { createWriteStream } from 'node:fs';
import { mkdir, readdir, writeFile } from 'node:fs/promises';
import { join } from 'node:path';
import { pipeline } from 'node:stream/promises';
import { createGzip } from 'node:zlib';
import type pg from 'pg';
import { to as copyTo } from 'pg-copy-streams';
import { dividedTables } from '../schema/time-series.js';
import {
  DumpError,
  fileOf,
  manifestName,
  migrationsOf,
  quoted,
  tablesOf,
  type DumpedTable,
  type DumpManifest,
} from './dumped-tables.js';

/**
 * Writes every table as PostgreSQL's own COPY text, compressed, as it stood at one moment; what goes on meanwhile is left out.
 * The manifest is written last: a folder without it is no dump. Needs no program of PostgreSQL.
 */
export async function dump(pool: pg.Pool, folder: string): Promise<DumpManifest> {
  await mkdir(folder, { recursive: true, mode: 0o700 });
  if ((await readdir(folder)).length > 0)
    throw new DumpError(`The folder ${folder} is not empty. Name one that is, or a new one.`);
  const client = await pool.connect();
  let broken: Error | undefined;
  try {
    await client.query('begin isolation level repeatable read, read only');
    const manifest: DumpManifest = {
      format: 1,
      madeAt: new Date().toISOString(),
      migrations: await migrationsOf(client),
      tables: [],
    };
    for (const { name, columns } of await tablesOf(client))
      manifest.tables.push(await dumpTable(client, folder, name, columns));
    await client.query('commit');
    await writeFile(join(folder, manifestName), `${JSON.stringify(manifest, null, 2)}\n`, { mode: 0o600 });
    return manifest;
  } catch (error) {
    broken = error as Error;
    throw error;
  } finally {
    client.release(broken);
  }
}

async function dumpTable(
  client: pg.PoolClient,
  folder: string,
  name: string,
  columns: string[],
): Promise<DumpedTable> {
  const table = client.escapeIdentifier(name);
  const rows = client.query(copyTo(`copy (select ${quoted(client, columns)} from ${table}) to stdout`));
  // It holds hashes of passwords and secrets of webhooks: nobody else on the machine is to read it.
  await pipeline(rows, createGzip(), createWriteStream(join(folder, fileOf(name)), { mode: 0o600 }));
  const dumped = { name, columns, rows: rows.rowCount };
  const divided = dividedTables.find((one) => one.name === name);
  if (divided === undefined) return dumped;
  const { rows: spans } = await client.query<{ from: Date | null; to: Date | null }>(
    `select min(${divided.time}) as "from", max(${divided.time}) as "to" from ${table}`,
  );
  const [{ from, to }] = spans;
  return {
    ...dumped,
    span: from === null || to === null ? null : { from: from.toISOString(), to: to.toISOString() },
  };
}
