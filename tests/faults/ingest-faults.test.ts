import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { type RunningPostgres, startEmbeddedPostgres } from '../../backend/server/src/embedded/postgres.js';
import type { Database } from '../../backend/server/src/storage/index.js';
import { freePort, openMigrated, temporaryFolder } from '../support/store/database.js';
import { seedFleet } from '../support/store/fleet.js';
import { type Part, startPart } from '../support/parts/process.js';
import { circuitPack, type Outgoing, publishAll, until } from '../support/publish.js';

const units = 5;
const circuitsPerUnit = 2;
const seconds = (count: number) => new Promise((resolve) => setTimeout(resolve, count * 1000));

/** Broker, ingester and database as processes of their own, so that each can be ended without the others. */
describe('ingestion when its parts fail', () => {
  let folder: string;
  let port: number;
  let postgres: RunningPostgres;
  let database: Database;
  let broker: Part;
  let ingester: Part;
  let mqttUrl: string;

  const startIngester = async () => {
    ingester = await startPart('support/parts/ingester-part.ts', {
      DATABASE_URL: postgres.url,
      MQTT_URL: mqttUrl,
      CLIENT_ID: 'ingest-faults',
    });
  };

  beforeAll(async () => {
    folder = await temporaryFolder('faults');
    port = await freePort();
    postgres = await startEmbeddedPostgres({ dataDir: folder, port });
    database = await openMigrated(postgres.url);
    await seedFleet(database, units, circuitsPerUnit);
    const mqttPort = await freePort();
    mqttUrl = `mqtt://127.0.0.1:${mqttPort}`;
    broker = await startPart('support/parts/broker-part.ts', { MQTT_PORT: String(mqttPort) });
    await startIngester();
  });
  afterAll(async () => {
    await ingester?.stop();
    await broker?.stop();
    await database?.close();
    await postgres?.stop();
  });

  const count = async (from: string) =>
    (await database.query<{ n: number }>(`select count(*) as n from ${from}`)).rows[0].n;

  it('has every one of 200,000 rows once, though killed twice and 20 s without database', async () => {
    const steps = 100;
    const packs = 2_000;
    const first_s = Date.UTC(2026, 0, 5) / 1000;
    const owners = units * circuitsPerUnit;
    const perOwner = packs / owners;
    function* messages(): Generator<Outgoing> {
      for (let pack = 0; pack < perOwner; pack++) {
        for (let owner = 0; owner < owners; owner++) {
          const topic = `coldrounds/1/harbour/chiller-${Math.floor(owner / circuitsPerUnit) + 1}/circuits/${(owner % circuitsPerUnit) + 1}`;
          yield { topic, payload: circuitPack(first_s + pack * steps * 10, steps, owner) };
        }
      }
    }
    const all = [...messages()];
    // In a hundred parts over more than ten seconds, the last twenty while there is no database, so that the failures come
    // while telemetry flows.
    let published = 0;
    let withoutDatabase = () => {};
    const databaseGone = new Promise<void>((resolve) => (withoutDatabase = resolve));
    const publishing = (async () => {
      const parts = 100;
      for (let part = 0; part < parts; part++) {
        if (part === 80) await databaseGone;
        const size = packs / parts;
        published += await publishAll(mqttUrl, all.slice(part * size, (part + 1) * size));
        await seconds(0.1);
      }
    })();

    const storedAtKill = [0];
    for (let kill = 0; kill < 2; kill++) {
      await until('more rows', async () => (await count('reading')) > storedAtKill.at(-1)!);
      await ingester.kill();
      storedAtKill.push(await count('reading'));
      await seconds(1);
      await startIngester();
    }
    await postgres.stop();
    withoutDatabase();
    await seconds(20);
    postgres = await startEmbeddedPostgres({ dataDir: folder, port });
    await publishing;
    expect(published).toBe(packs);

    await until('all rows', async () => (await count('reading').catch(() => 0)) === packs * steps).catch(
      () => {},
    );
    // The primary key makes "once" certain; this makes "none missing" certain, and that nothing else came in.
    const { rows } = await database.query<{ owners: number; total: number; complete: number }>(
      `select count(*) as owners, sum(n)::int as total,
              count(*) filter (where n = $1 and first = to_timestamp($2::float8) and last = to_timestamp($3::float8)) as complete
       from (select circuit_id, count(*) as n, min(time) as first, max(time) as last from reading group by 1) as per_circuit`,
      [perOwner * steps, first_s, first_s + perOwner * steps * 10 - 10],
    );
    expect(rows[0]).toEqual({ owners, total: packs * steps, complete: owners });
    expect(await count('reading where superheat_k is null or subcooling_k is null')).toBe(0);
    expect(await count('unread_message')).toBe(0);
    // The kills came in the middle of the work.
    for (const stored of storedAtKill) expect(stored).toBeLessThan(packs * steps);
    expect(storedAtKill[1]).toBeGreaterThan(0);
  });

  it('keeps 1,000 malformed messages among 10,000 good ones, and stores the 10,000', async () => {
    await database.query('truncate reading, unread_message');
    const first_s = Date.UTC(2026, 1, 2) / 1000;
    const topic = 'coldrounds/1/harbour/chiller-1/circuits/1';
    const malformed: ((i: number) => Outgoing)[] = [
      (i) => ({ topic, payload: `[{"n":"valve-opening","v":${i}` }),
      (i) => ({ topic, payload: Buffer.from([0xff, 0xfe, i & 0xff, i >> 8]) }),
      (i) => ({ topic, payload: JSON.stringify([{ n: 'suction-pressure', u: 'psi', v: i }]) }),
      (i) => ({ topic: `coldrounds/1/nowhere/chiller-${i}/water`, payload: circuitPack(first_s, 1) }),
      (i) => ({ topic, payload: JSON.stringify([{ n: 'suction-temperature', u: 'K', v: 2000 + i }]) }),
      () => ({ topic, payload: 'the same each time' }),
      (i) => ({
        topic,
        payload: JSON.stringify([{ n: 'valve-opening', u: '%', t: Date.now() / 1000 + 9e5 + i, v: 5 }]),
      }),
      () => ({ topic, payload: '' }),
    ];
    function* messages(): Generator<Outgoing> {
      for (let i = 0; i < 10_000; i++) {
        yield { topic, payload: circuitPack(first_s + i * 10, 1) };
        if (i % 10 === 0) yield malformed[(i / 10) % malformed.length](i);
      }
    }
    // Killed on the way, so that redelivery is part of it: what was kept must not be kept twice.
    const publishing = publishAll(mqttUrl, messages());
    await until('the first rows', async () => (await count('reading')) > 500);
    await ingester.kill();
    await startIngester();
    expect(await publishing).toBe(11_000);
    await until(
      'all of them',
      async () => (await count('reading')) === 10_000 && (await count('unread_message')) >= 1_000,
    ).catch(() => {});
    await seconds(1);
    expect(await count('reading')).toBe(10_000);
    expect(await count('unread_message')).toBe(1_000);
    const { rows } = await database.query<{ reason: string; n: number }>(
      'select reason, count(*) as n from unread_message group by 1 order by 1',
    );
    expect(rows).toEqual([
      { reason: 'not-json', n: 375 },
      { reason: 'not-text', n: 125 },
      { reason: 'out-of-range', n: 125 },
      { reason: 'time-in-future', n: 125 },
      { reason: 'unknown-site', n: 125 },
      { reason: 'wrong-unit', n: 125 },
    ]);
  });
});
