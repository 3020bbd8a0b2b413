import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { type RunningBroker, startBroker } from '../../backend/server/src/embedded/broker.js';
import type { Database } from '../../backend/server/src/storage/index.js';
import {
  type DatabaseServer,
  freePort,
  openMigrated,
  startDatabaseServer,
} from '../support/store/database.js';
import { seedFleet } from '../support/store/fleet.js';
import { type Part, startPart } from '../support/parts/process.js';
import { publishAll, until } from '../support/publish.js';
import { runningPack } from '../support/running-pack.js';

const units = 4;
const first_s = Math.floor(Date.now() / 7_200_000) * 7200 - 3 * 7200;

describe('roles in processes of their own', () => {
  let server: DatabaseServer;
  let database: Database;
  let broker: RunningBroker;
  const parts: Part[] = [];
  let api: string;

  const start = async (roles: string, environment: Record<string, string>) => {
    const port = String(await freePort());
    const part = await startPart('support/parts/server-part.ts', {
      ...environment,
      ROLES: roles,
      PORT: port,
      LOG_LEVEL: 'silent',
    });
    parts.push(part);
    return { part, base: `http://127.0.0.1:${port}` };
  };

  let ingest: { base: string };
  let assessors: { part: Part; base: string }[];
  beforeAll(async () => {
    server = await startDatabaseServer();
    const DATABASE_URL = await server.newDatabase();
    database = await openMigrated(DATABASE_URL);
    await seedFleet(database, units);
    broker = await startBroker({ port: await freePort() });
    ingest = await start('ingest', { DATABASE_URL, MQTT_URL: broker.url, CLIENT_ID: 'roles-ingest' });
    assessors = [
      await start('assess', { DATABASE_URL, ASSESS_CONCURRENCY: '1' }),
      await start('assess', { DATABASE_URL, ASSESS_CONCURRENCY: '1' }),
    ];
    api = (await start('api', { DATABASE_URL })).base;
  });
  afterAll(async () => {
    await Promise.all(parts.map(({ stop }) => stop().catch(() => {})));
    await broker?.stop();
    await database?.close();
    await server?.stop();
  });

  it('each answers health with its role, and only the one with `api` the rest', async () => {
    const health = async (base: string) => (await fetch(`${base}/api/health`)).json();
    expect(await health(ingest.base)).toMatchObject({ status: 'ok', roles: ['ingest'] });
    expect(await health(assessors[0].base)).toMatchObject({ status: 'ok', roles: ['assess'] });
    expect((await fetch(`${ingest.base}/api/rounds`)).status).toBe(503);
    expect((await fetch(`${api}/api/rounds`)).status).toBe(200);
  });

  it('work together: what one takes in, others judge, though one of them is killed, and a third answers', async () => {
    const messages = Array.from({ length: units }, (_, u) =>
      [1, 2].map((circuit) => ({
        topic: `coldrounds/1/harbour/chiller-${u + 1}/circuits/${circuit}`,
        payload: runningPack(first_s, 2160, { suctionPressure_Pa: 250_000, suctionTemperature_C: 6 }),
      })),
    ).flat();
    await publishAll(broker.url, messages);
    const judged = async () =>
      (
        await database.query<{ n: number }>(
          'select coalesce(sum(window_count), 0)::int as n from circuit_day',
        )
      ).rows[0].n;
    await until('the first judgement', async () => (await judged()) > 0);
    await assessors[0].part.kill();
    // The minute of its leases is passed over: others may take what it held.
    await database.query(`update circuit_state set leased_until = leased_until - interval '1 minute'`);
    const wanted = units * 2 * 3;
    await until('all windows', async () => (await judged()) === wanted);
    await until('a floodback finding on every unit', async () => {
      const round = (await (await fetch(`${api}/api/rounds`)).json()) as { units: unknown[] };
      return round.units.length === units;
    });
    const found = async () =>
      (
        await database.query<{ n: number }>(
          `select count(*)::int as n from finding where ended_at is null and condition = 'floodback-risk'`,
        )
      ).rows[0].n;
    // A unit is on the round with its first circuit's finding; the other circuit's may follow a moment later.
    await until('a floodback finding on every circuit', async () => (await found()) === units * 2);
    expect(await found()).toBe(units * 2);
  });
});
