import { type ChildProcess, spawn } from 'node:child_process';
import { fileURLToPath } from 'node:url';
import mqtt from 'mqtt';
import type { Database } from '../../backend/server/src/storage/index.js';
import { type Part, startPart } from '../support/parts/process.js';
import { circuitPack, type Outgoing, publishAll, until } from '../support/publish.js';
import { freePort, openMigrated, startDatabaseServer, temporaryFolder } from '../support/store/database.js';
import { seedFleet } from '../support/store/fleet.js';

const script = fileURLToPath(new URL('./mosquitto-up.sh', import.meta.url));

/** A Mosquitto, a database with a small fleet, and ingesters between them, each a process of its own. */
export interface ThroughMosquitto {
  address: string;
  database: Database;
  startBroker: (environment?: Record<string, string>) => Promise<void>;
  stopBroker: () => Promise<void>;
  startIngester: (environment: Record<string, string>) => Promise<Part>;
  /** Ends the ingesters started so far, whose groups would store the same rows, and empties the readings. */
  empty: () => Promise<void>;
  publish: (messages: Iterable<Outgoing>) => Promise<number>;
  /** The number of readings in the database. */
  stored: () => Promise<number>;
  close: () => Promise<void>;
}

/** So many messages of 100 readings each of one circuit, one after the other in time. */
export function packs(count: number): Outgoing[] {
  const first_s = Date.UTC(2026, 0, 5) / 1000;
  return Array.from({ length: count }, (_, i) => ({
    topic: 'coldrounds/1/harbour/chiller-1/circuits/1',
    payload: circuitPack(first_s + i * 1000, 100),
  }));
}

async function answers(address: string): Promise<boolean> {
  const probe = mqtt.connect(address, { reconnectPeriod: 0, connectTimeout: 500 });
  const answered = await new Promise<boolean>((resolve) => {
    probe.once('connect', () => resolve(true));
    probe.once('error', () => resolve(false));
    probe.once('close', () => resolve(false));
  });
  probe.end(true);
  return answered;
}

/** All of them, the broker running and no ingester yet. Needs Debian's Mosquitto. */
export async function openThroughMosquitto(): Promise<ThroughMosquitto> {
  const server = await startDatabaseServer(process.env.DATABASE_URL_TIMESCALE);
  const databaseUrl = await server.newDatabase();
  const database = await openMigrated(databaseUrl);
  await seedFleet(database);
  const folder = await temporaryFolder('mosquitto');
  const port = await freePort();
  const address = `mqtt://127.0.0.1:${port}`;
  const ingesters: Part[] = [];
  let broker: ChildProcess;

  const startBroker = async (environment: Record<string, string> = {}) => {
    const env = { ...process.env, ...environment };
    broker = spawn(script, [String(port), `${folder}/broker`], { stdio: 'ignore', env });
    await until('the broker', () => answers(address));
  };
  const stopBroker = async () => {
    const ended = new Promise((resolve) => broker.once('exit', resolve));
    broker.kill('SIGTERM');
    await ended;
  };
  const stopIngesters = async () => {
    await Promise.all(ingesters.splice(0).map((part) => part.stop()));
  };
  await startBroker();
  return {
    address,
    database,
    startBroker,
    stopBroker,
    startIngester: async (environment) => {
      const part = await startPart('support/parts/ingester-part.ts', {
        DATABASE_URL: databaseUrl,
        MQTT_URL: address,
        MQTT_PROTOCOL: '5',
        ...environment,
      });
      ingesters.push(part);
      return part;
    },
    empty: async () => {
      await stopIngesters();
      await database.query('truncate reading');
    },
    publish: (messages) => publishAll(address, messages),
    stored: async () => (await database.query('select from reading')).rowCount ?? 0,
    close: async () => {
      await stopIngesters();
      await stopBroker();
      await database.close();
      await server.stop();
    },
  };
}
