import { readFile, rm, stat, writeFile } from 'node:fs/promises';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { type Database, PartitionKeeper, weeksOf } from '../../backend/server/src/storage/index.js';
import { dump } from '../../backend/server/src/storage/dump/dump.js';
import { restore } from '../../backend/server/src/storage/dump/restore.js';
import {
  type DatabaseServer,
  engines,
  openMigrated,
  startDatabaseServer,
  temporaryFolder,
} from '../support/store/database.js';
import { seedFleet } from '../support/store/fleet.js';
import { addFinding, addPerson } from '../support/store/people.js';

/** Each table's rows as one checksum, of columns that are computed too. */
async function checksums(database: Database): Promise<Record<string, string>> {
  const { rows: tables } = await database.query<{ name: string }>(
    `select relname as name from pg_class where relnamespace = current_schema()::regnamespace and relkind in ('r', 'p')
        and not relispartition and relname <> 'schema_migration' order by relname`,
  );
  const sums: Record<string, string> = {};
  for (const { name } of tables) {
    const { rows } = await database.query<{ sum: string }>(
      `select count(*) || ' ' || coalesce(md5(string_agg(t::text, E'\\n' order by t::text)), '') as sum from ${name} t`,
    );
    sums[name] = rows[0].sum;
  }
  return sums;
}

describe.each(engines)('a dump on $name', ({ url, skip }) => {
  let server: DatabaseServer;
  let database: Database;
  let folder: string;
  const opened: Database[] = [];
  const openNew = async () => {
    opened.push(await openMigrated(await server.newDatabase()));
    return opened.at(-1)!;
  };
  beforeAll(async () => {
    if (skip) return;
    server = await startDatabaseServer(url);
    database = await openNew();
    folder = await temporaryFolder('dump');
    await seedFleet(database, 2);
    const person = await addPerson(database, 'manager', ['harbour']);
    const finding = await addFinding(database, 1);
    // Many weeks apart, so that there are parts between with nothing in them; text and bytes that have to be escaped.
    const times = ['2025-11-03T00:00:10Z', '2026-01-20T12:00:00Z', '2026-02-02T23:59:59.5Z'];
    await new PartitionKeeper(database.pool).ensure(
      'reading',
      weeksOf(times.map((time) => Date.parse(time))),
    );
    for (const time of times)
      await database.query(
        `insert into reading (circuit_id, time, suction_pressure_pa, superheat_k) values (1, $1, 350000.25, 'NaN')`,
        [time],
      );
    await database.query(
      `insert into unread_message (topic, payload, reason, detail) values (E'a\\tb\\\\n', $1, 'not-json', E'line\\nbreak')`,
      [Buffer.from([0, 1, 92, 46, 10, 13, 9, 255])],
    );
    await database.query(
      `insert into decision (finding_id, unit_id, kind, person_id, version, document, finding)
       values ($1, 1, 'note', $2, 0, '{"text": "größer \\\\\\\\. than"}', '{}')`,
      [finding, person.id],
    );
    await database.query(`insert into audit_entry (who, action) values ('A Manager', 'looked')`);
  });
  afterAll(async () => {
    for (const one of opened) await one.close();
    if (folder) await rm(folder, { recursive: true, force: true });
    await server?.stop();
  });

  it.skipIf(skip)('is restored to the last row, and what comes after goes on from there', async () => {
    const before = await checksums(database);
    const manifest = await dump(database.pool, join(folder, 'first'));
    expect(manifest.tables.length).toBe(Object.keys(before).length);
    expect((await stat(join(folder, 'first', 'person.copy.gz'))).mode & 0o077).toBe(0);
    const other = await openNew();
    await restore(other.pool, join(folder, 'first'));
    expect(await checksums(other)).toEqual(before);
    // Identities go on, triggers work again, and the log still refuses to be rewritten.
    const next = await addPerson(other, 'reader');
    const { rows } = await other.query<{ max: number }>('select max(id) as max from person where id <> $1', [
      next.id,
    ]);
    expect(next.id).toBeGreaterThan(rows[0].max);
    const due = async () =>
      (await other.query<{ n: number }>('select count(*)::int as n from attention_due')).rows[0].n;
    const waiting = await due();
    await addFinding(other, 2);
    expect(await due()).toBe(waiting + 1);
    await expect(other.query('delete from audit_entry')).rejects.toThrow(/cannot be changed/);
  });

  it.skipIf(skip)('goes whole or not at all into a database, and never over one that is in use', async () => {
    await dump(database.pool, join(folder, 'second'));
    await expect(dump(database.pool, join(folder, 'second'))).rejects.toThrow(/is not empty/);
    await expect(restore(database.pool, join(folder, 'second'))).rejects.toThrow(/sites or accounts already/);
    const other = await openNew();
    const before = await checksums(other);
    const path = join(folder, 'second', 'decision.copy.gz');
    const whole = await readFile(path);
    await writeFile(path, whole.subarray(0, whole.length - 12));
    await expect(restore(other.pool, join(folder, 'second'))).rejects.toThrow();
    expect(await checksums(other)).toEqual(before);
    await writeFile(path, whole);
    const manifestPath = join(folder, 'second', 'dump.json');
    const manifest = await readFile(manifestPath, 'utf8');
    await writeFile(manifestPath, manifest.replace('0001-base.sql', '0001-other.sql'));
    await expect(restore(other.pool, join(folder, 'second'))).rejects.toThrow(
      /another version of Coldrounds/,
    );
    await rm(manifestPath);
    await expect(restore(other.pool, join(folder, 'second'))).rejects.toThrow(/no whole dump/);
  });
});
