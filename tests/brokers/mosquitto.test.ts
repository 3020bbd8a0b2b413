import { type ChildProcess, execFileSync, spawn } from 'node:child_process';
import { fileURLToPath } from 'node:url';
import mqtt from 'mqtt';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import type { Database } from '../../backend/server/src/storage/index.js';
import {
  type DatabaseServer,
  freePort,
  openMigrated,
  startDatabaseServer,
  temporaryFolder,
} from '../support/store/database.js';
import { seedFleet } from '../support/store/fleet.js';
import { type Part, startPart } from '../support/parts/process.js';
import { circuitPack, type Outgoing, publishAll, until } from '../support/publish.js';
import { answeringEdgeNode, valveOpening } from '../support/edge-node.js';

const isInstalled = () => {
  try {
    execFileSync('mosquitto', ['-h'], { stdio: 'ignore' });
    return true;
  } catch (error) {
    return (error as NodeJS.ErrnoException).code !== 'ENOENT';
  }
};
const skip = !isInstalled();
const script = fileURLToPath(new URL('./mosquitto-up.sh', import.meta.url));
const topic = 'coldrounds/1/harbour/chiller-1/circuits/1';

describe(`ingestion through Mosquitto${skip ? ' (skipped: mosquitto is not installed)' : ''}`, () => {
  let server: DatabaseServer;
  let database: Database;
  let databaseUrl: string;
  let folder: string;
  let port: number;
  let broker: ChildProcess;
  const ingesters: Part[] = [];

  const startBroker = async (environment: Record<string, string> = {}) => {
    const env = { ...process.env, ...environment };
    broker = spawn(script, [String(port), `${folder}/broker`], { stdio: 'ignore', env });
    await until('the broker', async () => {
      const probe = mqtt.connect(`mqtt://127.0.0.1:${port}`, { reconnectPeriod: 0, connectTimeout: 500 });
      const answered = await new Promise<boolean>((resolve) => {
        probe.once('connect', () => resolve(true));
        probe.once('error', () => resolve(false));
        probe.once('close', () => resolve(false));
      });
      probe.end(true);
      return answered;
    });
  };
  const stopBroker = async () => {
    const ended = new Promise((resolve) => broker.once('exit', resolve));
    broker.kill('SIGTERM');
    await ended;
  };
  const startIngester = async (environment: Record<string, string>) => {
    const part = await startPart('support/parts/ingester-part.ts', {
      DATABASE_URL: databaseUrl,
      MQTT_URL: `mqtt://127.0.0.1:${port}`,
      ...environment,
    });
    ingesters.push(part);
    return part;
  };
  const stored = async () => (await database.query('select from reading')).rowCount;
  const statusOf = (part: Part) =>
    new Promise<{ rows: number; messages: number }>((resolve) => {
      part.process.once('message', (answer) => resolve((answer as { status: never }).status));
      part.process.send('status');
    });

  beforeAll(async () => {
    if (skip) return;
    server = await startDatabaseServer(process.env.DATABASE_URL_TIMESCALE);
    databaseUrl = await server.newDatabase();
    database = await openMigrated(databaseUrl);
    await seedFleet(database);
    folder = await temporaryFolder('mosquitto');
    port = await freePort();
    await startBroker();
  });
  afterAll(async () => {
    for (const part of ingesters) await part.stop();
    if (broker) await stopBroker();
    await database?.close();
    await server?.stop();
  });

  it.skipIf(skip)('shares the messages between two ingesters, and each row is there once', async () => {
    await database.query('truncate reading');
    const group = { SHARED_GROUP: 'coldrounds', MQTT_PROTOCOL: '5' };
    const pair = [
      await startIngester({ ...group, CLIENT_ID: 'ingest-one' }),
      await startIngester({ ...group, CLIENT_ID: 'ingest-two' }),
    ];
    const first_s = Date.UTC(2026, 0, 5) / 1000;
    const messages: Outgoing[] = Array.from({ length: 400 }, (_, i) => ({
      topic,
      payload: circuitPack(first_s + i * 1000, 100),
    }));
    await publishAll(`mqtt://127.0.0.1:${port}`, messages);
    await until('all rows', async () => (await stored()) === 40_000);
    const shares = await Promise.all(pair.map(statusOf));
    expect(shares[0].messages + shares[1].messages).toBe(400);
    for (const share of shares) expect(share.messages).toBeGreaterThan(40);
    for (const part of pair) await part.stop();
  });

  it.skipIf(skip)(
    'has one of two ingesters take Sparkplug, and the other once that one is killed, which asks for the births',
    async () => {
      await database.query('truncate reading');
      const node = { group: 'Site A', edge: 'gateway-1' };
      await database.query('update unit set sparkplug = $1 where id = 1', [
        JSON.stringify([
          { ...node, metric: 'EXV', stream: 'circuits', number: 1, quantity: 'valve-opening', unit: '%' },
        ]),
      ]);
      const group = { SHARED_GROUP: 'coldrounds', MQTT_PROTOCOL: '5', SPARKPLUG: 'on' };
      const first = await startIngester({ ...group, CLIENT_ID: 'ingest-one' });
      const gateway = await answeringEdgeNode(`mqtt://127.0.0.1:${port}`, node);
      const sentUntil = async (what: string, done: () => Promise<boolean>) =>
        until(what, async () => {
          gateway.publishNodeData({ metrics: [valveOpening()] });
          return done();
        });
      await sentUntil('a reading', async () => (await stored())! > 0);
      const second = await startIngester({ ...group, CLIENT_ID: 'ingest-two' });
      await first.kill();
      const before = gateway.births;
      await sentUntil('its births', () => Promise.resolve(gateway.births > before));
      const rows = (await stored())!;
      await sentUntil('a further reading', async () => (await stored())! > rows);
      gateway.stop();
      // Back once, to give back what the broker holds for it.
      await (await startIngester({ ...group, CLIENT_ID: 'ingest-one' })).stop();
      await second.stop();
      await database.query(`update unit set sparkplug = '[]'`);
    },
  );

  it.skipIf(skip)(
    'loses nothing when one of two is killed: the other takes what is new, and what the dead one held comes with its return',
    async () => {
      await database.query('truncate reading');
      const group = { SHARED_GROUP: 'survivors', MQTT_PROTOCOL: '5' };
      const victim = await startIngester({ ...group, CLIENT_ID: 'ingest-three' });
      await startIngester({ ...group, CLIENT_ID: 'ingest-four' });
      const first_s = Date.UTC(2026, 0, 5) / 1000;
      const messages: Outgoing[] = Array.from({ length: 600 }, (_, i) => ({
        topic,
        payload: circuitPack(first_s + i * 1000, 100),
      }));
      const publishing = publishAll(`mqtt://127.0.0.1:${port}`, messages);
      await until('the first rows', async () => (await stored())! > 1_000);
      await victim.kill();
      await publishing;
      // The broker keeps what it had given to the dead one for its return, so it has to come back for these.
      await startIngester({ ...group, CLIENT_ID: 'ingest-three' });
      await until('all rows', async () => (await stored()) === 60_000);
    },
  );

  /** Ends the ingesters of earlier tests, whose groups would store the same rows. */
  const alone = async () => {
    for (const part of ingesters.splice(0)) await part.stop();
    await database.query('truncate reading');
  };
  const packs = (count: number): Outgoing[] => {
    const first_s = Date.UTC(2026, 0, 5) / 1000;
    return Array.from({ length: count }, (_, i) => ({
      topic,
      payload: circuitPack(first_s + i * 1000, 100),
    }));
  };

  it.skipIf(skip)('has one that leaves give its share back, so that nothing is queued for it', async () => {
    await alone();
    const group = { SHARED_GROUP: 'leavers', MQTT_PROTOCOL: '5' };
    const leaver = await startIngester({ ...group, CLIENT_ID: 'ingest-five' });
    await startIngester({ ...group, CLIENT_ID: 'ingest-six' });
    const all = packs(800);
    await publishAll(`mqtt://127.0.0.1:${port}`, all.slice(0, 200));
    const publishing = publishAll(`mqtt://127.0.0.1:${port}`, all.slice(200, 600));
    await leaver.stop();
    await publishing;
    await publishAll(`mqtt://127.0.0.1:${port}`, all.slice(600));
    await until('all rows', async () => (await stored()) === 80_000);
    expect((await database.query(`select from ingester where client_id = 'ingest-five'`)).rowCount).toBe(0);
  });

  it.skipIf(skip)('takes over the queue of one that has died and does not return', async () => {
    await alone();
    const group = { SHARED_GROUP: 'heirs', MQTT_PROTOCOL: '5', DEAD_AFTER_S: '4' };
    const victim = await startIngester({ ...group, CLIENT_ID: 'ingest-seven' });
    await startIngester({ ...group, CLIENT_ID: 'ingest-eight' });
    const all = packs(600);
    const publishing = publishAll(`mqtt://127.0.0.1:${port}`, all);
    await until('the first rows', async () => (await stored())! > 1_000);
    await victim.kill();
    await publishing;
    await until('all rows', async () => (await stored()) === 60_000);
    await until(
      'the dead one to be forgotten',
      async () =>
        (await database.query(`select from ingester where client_id = 'ingest-seven'`)).rowCount === 0,
    );
  });

  it.skipIf(skip)('says how many messages a broker with a short queue has dropped', async () => {
    await alone();
    await stopBroker();
    await startBroker({ QUEUED: '100' });
    const settings = { CLIENT_ID: 'ingest-short', MQTT_PROTOCOL: '5' };
    const part = await startIngester(settings);
    const told = async () =>
      (
        await database.query<{ lost: number; counter: number }>(
          'select lost::float8 as lost, counter::float8 as counter from broker_loss',
        )
      ).rows[0];
    await until('the counter', async () => (await told()) !== undefined);
    const before = (await told()).lost;
    await part.kill();
    await publishAll(`mqtt://127.0.0.1:${port}`, packs(1000));
    await startIngester(settings);
    await until('the loss', async () => (await told()).lost > before);
    // What did not come is told as lost; the broker's counter also has what it dropped for others. Both go on for a while.
    const came = async () => (await stored())! / 100;
    await until('all that is lost', async () => (await told()).lost - before >= 1000 - (await came()));
    expect(await came()).toBeLessThan(1000);
    await stopBroker();
    await startBroker();
  });

  it.skipIf(skip)('takes MQTT 3.1.1 too, and what came while it was away', async () => {
    await database.query('truncate reading');
    const settings = { CLIENT_ID: 'ingest-old', MQTT_PROTOCOL: '4' };
    const part = await startIngester(settings);
    await part.kill();
    const first_s = Date.UTC(2026, 0, 5) / 1000;
    await publishAll(`mqtt://127.0.0.1:${port}`, [{ topic, payload: circuitPack(first_s, 100) }]);
    await stopBroker();
    await startBroker();
    await startIngester(settings);
    await until('the rows', async () => (await stored()) === 100);
  });
});
