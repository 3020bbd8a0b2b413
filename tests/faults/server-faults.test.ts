import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { type RunningPostgres, startEmbeddedPostgres } from '../../backend/server/src/embedded/postgres.js';
import type { Database } from '../../backend/server/src/storage/index.js';
import { freePort, openMigrated, temporaryFolder } from '../support/store/database.js';
import { seedFleet } from '../support/store/fleet.js';
import { type Part, startPart } from '../support/parts/process.js';
import { publishAll, until } from '../support/publish.js';
import { runningPack } from '../support/running-pack.js';

const units = 20;

/** A whole server as a process, whose database and broker are killed while it works. */
describe('a server', () => {
  let folder: string;
  let databasePort: number;
  let postgres: RunningPostgres;
  let database: Database;
  let broker: Part;
  let mqttPort: number;
  let server: Part;
  let base: string;
  let ended = false;

  beforeAll(async () => {
    folder = await temporaryFolder('server-faults');
    databasePort = await freePort();
    postgres = await startEmbeddedPostgres({ dataDir: folder, port: databasePort });
    database = await openMigrated(postgres.url);
    await seedFleet(database, units, 1);
    mqttPort = await freePort();
    broker = await startPart('support/parts/broker-part.ts', { MQTT_PORT: String(mqttPort) });
    const port = await freePort();
    server = await startPart('support/parts/server-part.ts', {
      DATABASE_URL: postgres.url,
      MQTT_URL: `mqtt://127.0.0.1:${mqttPort}`,
      PORT: String(port),
    });
    server.process.once('exit', () => (ended = true));
    base = `http://127.0.0.1:${port}`;
  });
  afterAll(async () => {
    await server?.stop();
    await broker?.stop();
    await database?.close();
    await postgres?.stop();
  });

  const health = async () =>
    (await (await fetch(`${base}/api/health`)).json()) as {
      status: string;
      database: string;
      broker: string;
    };
  const judged = async () =>
    (await database.query<{ n: number }>('select coalesce(sum(window_count), 0)::int as n from circuit_day'))
      .rows[0].n;

  it('outlives a database that is killed while it assesses, and goes on by itself', async () => {
    const windows = 40;
    const first_s = (Math.floor(Date.now() / 7_200_000) - windows - 1) * 7200;
    await publishAll(
      `mqtt://127.0.0.1:${mqttPort}`,
      Array.from({ length: units }, (_, u) => u).flatMap((u) =>
        Array.from({ length: windows / 4 }, (_, w) => ({
          topic: `coldrounds/1/harbour/chiller-${u + 1}/circuits/1`,
          payload: runningPack(first_s + w * 4 * 7200, 2880, {
            suctionPressure_Pa: 250_000,
            suctionTemperature_C: 6,
          }),
        })),
      ),
    );
    await until('the assessment to be under way', async () => (await judged()) > 0);
    process.kill(postgres.pid, 'SIGKILL');
    await postgres.ended;
    await until('health to say so', async () => (await health()).database === 'down');
    const page = await fetch(`${base}/api/units`);
    expect(page.status).toBe(503);
    expect(((await page.json()) as { detail: string }).detail).toMatch(/database/);
    postgres = await startEmbeddedPostgres({ dataDir: folder, port: databasePort });
    await until('health', async () => (await health()).status === 'ok');
    await until('all windows', async () => (await judged().catch(() => 0)) === units * windows, 500_000);
    expect(ended).toBe(false);
    // On a machine that many others used it took five minutes.
  }, 700_000);

  it('outlives a broker that is killed, and takes telemetry from the one that follows', async () => {
    await broker.kill();
    await until('health to say so', async () => (await health()).broker === 'down');
    expect((await fetch(`${base}/api/units`)).status).toBe(200);
    broker = await startPart('support/parts/broker-part.ts', { MQTT_PORT: String(mqttPort) });
    await until('health', async () => (await health()).broker === 'ok');
    const start_s = (Math.floor(Date.now() / 7_200_000) - 60) * 7200;
    // The new broker knows nothing of the subscription until the server has made it, a moment after it is connected: sent
    // again until it has come; the same rows are one.
    await until('the rows', async () => {
      await publishAll(`mqtt://127.0.0.1:${mqttPort}`, [
        {
          topic: 'coldrounds/1/harbour/chiller-1/circuits/1',
          payload: runningPack(start_s, 10, { suctionPressure_Pa: 250_000, suctionTemperature_C: 6 }),
        },
      ]);
      const { rowCount } = await database.query('select from reading where time = to_timestamp($1)', [
        start_s,
      ]);
      return rowCount === 1;
    });
    expect(ended).toBe(false);
  });
});
