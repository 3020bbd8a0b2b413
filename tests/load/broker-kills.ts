/**
 * What is lost when Mosquitto is killed (SIGKILL) while gateways publish, by its settings: after every kill it starts
 * anew, and at the end the rows that gateways sent and the store does not have are counted.
 *
 *   node tests/support/run-ts.mjs tests/load/broker-kills.ts
 *
 * UNITS (500) of two circuits each send a sample every ten seconds; KILLS (10) and SETTINGS (names below) choose what is done.
 */
import { fork, spawn, type ChildProcess } from 'node:child_process';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { freePort, openMigrated, startDatabaseServer, temporaryFolder } from '../support/store/database.js';
import { startPart } from '../support/parts/process.js';
import { seedRegistry } from '../scale/seed.js';
import { cpuOf } from '../scale/measures.js';

const tests = fileURLToPath(new URL('..', import.meta.url));
const units = Number(process.env.UNITS ?? 500);
const kills = Number(process.env.KILLS ?? 10);
const rate = units / 5;
const wait = (ms: number) => new Promise((done) => setTimeout(done, ms));

const settings: Record<string, Record<string, string>> = {
  'every 30 s, 100 in flight': { AUTOSAVE: '30', INFLIGHT: '100' },
  'every 5 s, 200 in flight': { AUTOSAVE: '5', INFLIGHT: '200' },
  'every 1 s, 200 in flight': { AUTOSAVE: '1', INFLIGHT: '200' },
  'every 1 s, 2000 in flight': { AUTOSAVE: '1', INFLIGHT: '2000' },
  'every 100 changes, 2000 in flight': { AUTOSAVE: '100', ON_CHANGES: 'true', INFLIGHT: '2000' },
  'every change, 2000 in flight': { AUTOSAVE: '1', ON_CHANGES: 'true', INFLIGHT: '2000' },
};
const chosen = process.env.SETTINGS?.split(';') ?? Object.keys(settings);

const server = await startDatabaseServer();

async function measure(name: string): Promise<void> {
  const url = await server.newDatabase();
  const database = await openMigrated(url);
  await seedRegistry(database, { units, sites: 50, days: 0, window_s: 0 });
  const port = await freePort();
  const folder = await temporaryFolder('broker');
  const start = (): ChildProcess =>
    spawn(join(tests, 'brokers/mosquitto-up.sh'), [String(port), folder], {
      stdio: 'ignore',
      env: { ...process.env, ...settings[name] },
    });
  let broker = start();
  await wait(1_000);
  const ingester = await startPart('support/parts/ingester-part.ts', {
    DATABASE_URL: url,
    MQTT_URL: `mqtt://127.0.0.1:${port}`,
    CLIENT_ID: 'kills',
  });
  const publisher = fork(join(tests, 'support/run-ts.mjs'), [join(tests, 'scale/gateways.ts')], {
    env: {
      ...process.env,
      MQTT_URL: `mqtt://127.0.0.1:${port}`,
      UNITS: String(units),
      GATEWAYS: '50',
      RATE: String(rate),
      SILENT: '0',
    },
  });
  await new Promise<void>((done) => publisher.once('message', () => done()));
  let cpu_s = 0;
  const started = Date.now();
  for (let kill = 0; kill < kills; kill++) {
    // Not in step with the saving.
    await wait(5_000 + ((kill * 377) % 1_000));
    cpu_s += cpuOf(broker.pid!);
    const ended = new Promise((done) => broker.once('exit', done));
    broker.kill('SIGKILL');
    await ended;
    await wait(500);
    broker = start();
  }
  const elapsed_s = (Date.now() - started) / 1000;
  await wait(3_000);
  const sent = await new Promise<{ rows: number; messages: number }>((done) => {
    publisher.on('message', (message) => {
      const told = (message as { sent?: { rows: number; messages: number } }).sent;
      if (told) done(told);
    });
    publisher.send('stop');
  });
  const stored = async () =>
    Number((await database.query<{ n: string }>('select count(*) as n from reading')).rows[0].n);
  let rows = -1;
  for (let now = await stored(); now !== rows; now = await stored()) {
    rows = now;
    await wait(3_000);
  }
  console.log(
    `kills: ${name}: ${sent.rows - rows} of ${sent.rows} rows lost in ${kills} kills; broker ${((1000 * cpu_s) / sent.messages).toFixed(3)} ms a message, ${Math.round(sent.messages / elapsed_s)} messages a second`,
  );
  await ingester.stop();
  broker.kill('SIGTERM');
  await database.close();
}

for (const name of chosen) await measure(name);
await server.stop();
