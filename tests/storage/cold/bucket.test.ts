import { readFile, rm, writeFile } from 'node:fs/promises';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { BucketPlace } from '../../../backend/server/src/storage/cold/bucket-place.js';
import { NoColdFileError } from '../../../backend/server/src/storage/cold/cold-place.js';
import { type Database } from '../../../backend/server/src/storage/index.js';
import {
  type DatabaseServer,
  openMigrated,
  startDatabaseServer,
  temporaryFolder,
} from '../../support/store/database.js';
import { seedFleet } from '../../support/store/fleet.js';
import { startBucket, type BucketStandIn } from './bucket-stand-in.js';
import { allThatIsRead, coldRows, hotRows, openStore, storeDrawn } from './cold-case.js';

const key = { keyId: 'invented-id', secretKey: 'invented-secret' };

describe('a bucket of an S3-compatible store', () => {
  let bucket: BucketStandIn;
  let folder: string;
  const placeOf = (secretKey = key.secretKey, most_bytes?: number) =>
    new BucketPlace(
      { address: bucket.address, region: 'us-east-1', keyId: key.keyId, secretKey },
      async () => folder,
      most_bytes,
    );
  beforeAll(async () => {
    bucket = await startBucket(key.keyId, key.secretKey);
    folder = await temporaryFolder('bucket');
  });
  afterAll(async () => {
    await bucket?.close();
    await rm(folder, { recursive: true, force: true });
  });

  it('puts, lists, renames, gives and removes whole files, with odd names too', async () => {
    const place = placeOf();
    const names = ['a/2026-10/north & south.parquet', 'a/b.txt', 'c.parquet'];
    await writeFile(`${folder}/file`, 'some bytes');
    for (const name of names) await place.put(`${folder}/file`, name);
    expect((await place.names()).sort()).toEqual([...names].sort());
    await place.rename(names[0], 'd e.parquet');
    expect(await place.withFile('d e.parquet', (path) => readFile(path, 'utf8'))).toBe('some bytes');
    await expect(place.withFile(names[0], async () => {})).rejects.toThrow(NoColdFileError);
    await expect(place.rename(names[0], 'x')).rejects.toThrow(NoColdFileError);
    for (const name of await place.names()) await place.remove(name);
    await place.remove('never.was');
    expect(await place.names()).toEqual([]);
    expect(await place.readText('mark.json')).toBeNull();
    await place.writeText('mark.json', '{}');
    expect(await place.readText('mark.json')).toBe('{}');
    await place.remove('mark.json');
  });

  it('waits where the store asks for it, and says without a secret that a key is refused', async () => {
    bucket.failNext(2);
    expect(await placeOf().names()).toEqual([]);
    const refused = await placeOf('another-secret')
      .names()
      .catch((error: Error) => error.message);
    expect(refused).toMatch(/cannot be listed: it answers 403/);
    expect(refused).not.toContain('secret');
  });

  it('keeps what it fetched for the next reading of the same version, up to so many bytes', async () => {
    const place = placeOf(undefined, 15);
    for (const name of ['one', 'two']) bucket.objects.set(`of site/${name}`, Buffer.from('0123456789'));
    const pathOf = (name: string, version: number) => place.withFile(name, async (path) => path, version);
    const first = await pathOf('one', 1);
    expect(await pathOf('one', 1)).toBe(first);
    expect(await pathOf('one', 2)).not.toBe(first);
    await expect(readFile(first)).rejects.toThrow('ENOENT');
    bucket.objects.clear();
  });

  describe('as the cold store', () => {
    let server: DatabaseServer;
    let database: Database;
    beforeAll(async () => {
      server = await startDatabaseServer();
      database = await openMigrated(await server.newDatabase());
      await seedFleet(database, 1, 2);
      await storeDrawn(database);
    });
    afterAll(async () => {
      await database?.close();
      await server?.stop();
    });

    it('holds what was moved, through an end before and after the commit, and all reads the same', async () => {
      const cold = await openStore(database, placeOf());
      const before = await allThatIsRead(database, cold.store);
      const rows = await hotRows(database);
      for (const step of ['placed', 'committed']) {
        const end = (reached: string) => {
          if (reached === step) throw new Error(`ended at ${step}`);
        };
        await expect(cold.move({ reached: end })).rejects.toThrow(`ended at ${step}`);
        expect([...bucket.objects.keys()].some((name) => name.endsWith('.unfinished'))).toBe(true);
        expect(await allThatIsRead(database, cold.store)).toEqual(before);
      }
      await cold.move();
      expect(await allThatIsRead(database, cold.store)).toEqual(before);
      expect((await hotRows(database)) + (await coldRows(database))).toBe(rows);
      expect([...bucket.objects.keys()].filter((name) => !/\.(parquet|json)$/.test(name))).toEqual([]);
      expect([...bucket.objects.keys()]).toContain('of site/readings/2026-10/harbour.parquet');
      await cold.close();
    });
  });
});
