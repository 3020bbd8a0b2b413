/**
 * The whole of Coldrounds under the load of a large fleet, on this machine: PostgreSQL, broker, ingester, assessor and
 * pages as processes of their own, gateways that publish a sample of every circuit each ten seconds, people who look at
 * pages, and one SIGKILL of each process on the way. Prints `scale: NAME VALUE UNIT` and fails where a number is missed.
 *
 * UNITS (10,000) and MINUTES (15) set the size, KILLS (assess,ingest,api,database,broker; or off) what is killed. The window of two hours that ends for all circuits at once is one that is
 * past: its readings are seeded, and it is made due for the whole fleet a minute after the start. Rollups of past days
 * are not seeded.
 */
import { type ChildProcess, execFileSync, fork, spawn } from 'node:child_process';
import { mkdir } from 'node:fs/promises';
import { join, resolve } from 'node:path';
import { fileURLToPath } from 'node:url';
import mqtt from 'mqtt';
import { nodeArgsOfServer } from '../../backend/server/src/embedded/part.js';
import { type RunningPostgres, startEmbeddedPostgres } from '../../backend/server/src/embedded/postgres.js';
import { createPool, Database, migrate } from '../../backend/server/src/storage/index.js';
import { freePort, temporaryFolder } from '../support/store/database.js';
import { until } from '../support/publish.js';
import { ask, cpuOf, memoryOf, quantile, Report, sharedMemoryOf, type Answer } from './measures.js';
import { endWindow, seedDays, seedReadings, seedRegistry, type SeedPlan } from './seed.js';

const root = resolve(fileURLToPath(import.meta.url), '../../..');
const units = Number(process.env.UNITS ?? 10_000);
const minutes = Number(process.env.MINUTES ?? 15);
const gateways = 50;
const circuits = units * 2;
const rate = circuits / 10;
const killed = new Set((process.env.KILLS ?? 'assess,ingest,api,database,broker').split(','));
/** Of some twenty requests of each kind in a minute one that meets a cold process is the p95: no bar is put there. */
const pagesHaveBars = minutes >= 5;
const report = new Report(units <= 10_000);
const wait = (ms: number) => new Promise((done) => setTimeout(done, ms));
const say = (line: string) => console.error(`scale: ${line}`);

const window_s = (Math.floor(Date.now() / 7_200_000) - 1) * 7200;
const plan: SeedPlan = { units, sites: gateways, days: 28, window_s };

const folder = await temporaryFolder('scale');
const databasePort = await freePort();
let postgres: RunningPostgres = await startEmbeddedPostgres({ dataDir: folder, port: databasePort });
const database = new Database(createPool(postgres.url, { max: 4, applicationName: 'scale' }));
await migrate(database.pool);
say(`seeding ${units} units, ${circuits} circuits and 28 days of results`);
const seedStarted = Date.now();
await seedRegistry(database, plan);
await seedDays(database, plan);
await seedReadings(database, plan);
say(`seeded in ${Math.round((Date.now() - seedStarted) / 1000)} s`);

const mqttPort = await freePort();
const mqttUrl = `mqtt://127.0.0.1:${mqttPort}`;
const hasMosquitto = (() => {
  try {
    execFileSync('mosquitto', ['-h'], { stdio: 'ignore' });
    return true;
  } catch (error) {
    return (error as NodeJS.ErrnoException).code !== 'ENOENT';
  }
})();

interface Watched {
  name: string;
  process: ChildProcess;
  killed: boolean;
}
const watched = new Map<string, Watched>();
/** CPU of processes that were killed, s. */
const spent = new Map<string, number>();
const peak_MB = new Map<string, number>();
const diedUnasked: string[] = [];

function start(name: string): void {
  const child = name === 'broker' ? startBroker() : startServer(name);
  const entry = { name, process: child, killed: false };
  watched.set(name, entry);
  child.once('exit', () => {
    if (!entry.killed) diedUnasked.push(name);
  });
}

function startBroker(): ChildProcess {
  if (hasMosquitto)
    return spawn(join(root, 'tests/brokers/mosquitto-up.sh'), [String(mqttPort), join(folder, 'broker')], {
      stdio: 'ignore',
    });
  return fork(join(root, 'backend/server/dist/embedded/broker-process.js'), {
    env: { ...process.env, MQTT_PORT: String(mqttPort) },
  });
}

const ports = { ingest: await freePort(), assess: await freePort(), api: await freePort() };
function startServer(role: string): ChildProcess {
  return fork(join(root, 'backend/server/dist/bin/serve.js'), {
    execArgv: nodeArgsOfServer,
    env: {
      ...process.env,
      DATABASE_URL: postgres.url,
      MQTT_URL: mqttUrl,
      ROLES: role,
      PORT: String(ports[role as keyof typeof ports]),
      LOG_LEVEL: process.env.LOG_LEVEL ?? 'fatal',
    },
  });
}

async function kill(name: string, away_ms = 0): Promise<void> {
  const entry = watched.get(name)!;
  say(`${name} is killed`);
  entry.killed = true;
  spent.set(name, (spent.get(name) ?? 0) + cpuOf(entry.process.pid!));
  const ended = new Promise((done) => entry.process.once('exit', done));
  entry.process.kill('SIGKILL');
  await ended;
  await wait(away_ms);
  start(name);
}

/** When the database was away, ms. */
const away: { from_ms: number; to_ms: number }[] = [];
async function killDatabase(away_ms: number): Promise<void> {
  say('the database is killed');
  const from_ms = Date.now();
  spent.set('database', (spent.get('database') ?? 0) + cpuOf(postgres.pid));
  process.kill(postgres.pid, 'SIGKILL');
  await postgres.ended;
  await wait(away_ms);
  postgres = await startEmbeddedPostgres({ dataDir: folder, port: databasePort });
  away.push({ from_ms, to_ms: Date.now() });
  say('the database is back');
}

await mkdir(join(folder, 'broker'), { recursive: true });
for (const name of ['broker', 'ingest', 'assess', 'api']) start(name);
const base = `http://127.0.0.1:${ports.api}`;
for (const port of Object.values(ports))
  await until(
    'the servers',
    async () => {
      const health = await fetch(`http://127.0.0.1:${port}/api/health`).then(
        (response) => response.json() as Promise<{ status: string }>,
        () => ({ status: 'away' }),
      );
      return health.status === 'ok';
    },
    120_000,
  );

// The gateways.
const silentGateway = minutes >= 15 ? 7 : 0;
/** Three days before the window that ends. */
const history_s = minutes >= 5 || process.env.HISTORY === 'on' ? window_s - 3 * 86_400 : 0;
const publisher = fork(join(root, 'tests/support/run-ts.mjs'), [join(root, 'tests/scale/gateways.ts')], {
  env: {
    ...process.env,
    MQTT_URL: mqttUrl,
    UNITS: String(units),
    GATEWAYS: String(gateways),
    RATE: String(rate),
    SILENT: String(silentGateway),
    HISTORY_S: String(history_s),
  },
});
await new Promise<void>((done) => publisher.once('message', () => done()));
const started_ms = Date.now();
const started_s = started_ms / 1000;
const running = () => Date.now() - started_ms < minutes * 60_000;
say(`publishing ${rate} messages a second for ${minutes} min`);
const cpuBefore = new Map(
  ['broker', 'ingest', 'assess', 'api'].map((name) => [name, cpuOf(watched.get(name)!.process.pid!)]),
);
cpuBefore.set('database', cpuOf(postgres.pid));
/** CPU seconds that each has used since. */
const cpuUsed = () =>
  new Map(
    [...cpuBefore].map(([name, before]) => {
      const pid = name === 'database' ? postgres.pid : watched.get(name)!.process.pid!;
      return [name, (spent.get(name) ?? 0) + cpuOf(pid) - before];
    }),
  );

/** From publication to where a reader of the store sees it; published while the database was away: from its return. */
const probed: { at_ms: number; stored_ms: number }[] = [];
const lag_s = ({ at_ms, stored_ms }: (typeof probed)[number]) => {
  const without = away.find(({ from_ms, to_ms }) => at_ms < to_ms && stored_ms > from_ms);
  return (stored_ms - Math.max(at_ms, without?.to_ms ?? 0)) / 1000;
};
const probes = (async () => {
  const client = await mqtt.connectAsync(mqttUrl, {
    clientId: 'scale-probe',
    clean: false,
    reconnectPeriod: 500,
  });
  client.on('error', () => {});
  const pending: Promise<void>[] = [];
  for (let n = 0; running(); n++) {
    const unit = (n * 37) % units;
    const time_s = Math.round(Date.now()) / 1000 + 0.0005;
    const t = Math.round(time_s * 1000) / 1000;
    // Its own millisecond, so that it is no sample of the gateways.
    const topic = `coldrounds/1/site-${1 + (unit % gateways)}/unit-${unit + 1}/water`;
    const at_ms = Date.now();
    client.publish(
      topic,
      JSON.stringify([{ bt: t, n: 'ambient-temperature', u: 'Cel', v: 20 }]),
      { qos: 1 },
      () => {},
    );
    pending.push(
      (async () => {
        for (;;) {
          const seen = await database
            .query('select from water_reading where unit_id = $1 and time = to_timestamp($2::float8)', [
              unit + 1,
              t,
            ])
            .then(
              ({ rowCount }) => (rowCount ?? 0) > 0,
              () => false,
            );
          if (seen) {
            probed.push({ at_ms, stored_ms: Date.now() });
            return;
          }
          if (Date.now() - at_ms > 180_000) {
            probed.push({ at_ms, stored_ms: Infinity });
            return;
          }
          await wait(250);
        }
      })(),
    );
    await wait(1_000);
  }
  await Promise.all(pending);
  client.end(true);
})();

/** The end of the window of all circuits, and until when each was judged and assessed. */
let judged_s = NaN;
let assessed_s = NaN;
/** When that was, and what had been used by then. */
let whenAssessed: { elapsed_s: number; cpu: Map<string, number> } | undefined;
const boundary = (async () => {
  await wait(Math.min(60_000, (minutes * 60_000) / 4));
  await endWindow(database, plan);
  const ended_ms = Date.now();
  say('a window has ended for every circuit');
  const left = async (text: string, values: unknown[]) =>
    database.query<{ n: number }>(text, values).then(
      ({ rows }) => rows[0].n,
      () => 1,
    );
  while (Number.isNaN(assessed_s) && Date.now() - ended_ms < 30 * 60_000) {
    await wait(1_000);
    if (
      Number.isNaN(judged_s) &&
      (await left('select count(*)::int as n from window_due where window_start = to_timestamp($1)', [
        window_s,
      ])) === 0
    )
      judged_s = (Date.now() - ended_ms) / 1000;
    if (
      !Number.isNaN(judged_s) &&
      (await left(
        `select count(*)::int as n from circuit_state where assessed_at is null or assessed_at < to_timestamp($1)`,
        [ended_ms / 1000],
      )) === 0
    ) {
      assessed_s = (Date.now() - ended_ms) / 1000;
      whenAssessed = { elapsed_s: (Date.now() - started_ms) / 1000, cpu: cpuUsed() };
    }
  }
})();

/** People: a page every half second, each of them in turn. */
const answers = new Map<string, Answer[]>();
let refused = 0;
const people = (async () => {
  const now = () => new Date().toISOString();
  const ago = (days: number) => new Date(Date.now() - days * 86_400_000).toISOString();
  const pages: [string, (n: number) => string][] = [
    ['round', () => '/api/rounds'],
    ['unit', (n) => `/api/units/site-${1 + (n % gateways)}/unit-${1 + (n % units)}`],
    ['units', () => '/api/units'],
    ['study', () => '/api/study/circuits?days=28'],
    ['findings', () => '/api/findings?limit=50'],
    [
      'chart',
      (n) =>
        `/api/units/site-${1 + (n % gateways)}/unit-${1 + (n % units)}/circuits/1/series?from=${ago(30)}&to=${now()}`,
    ],
  ];
  for (let n = 0; running(); n++) {
    const [name, path] = pages[n % pages.length];
    const answer = await ask(base + path(n * 7));
    if (answer.status === 200) answers.set(name, [...(answers.get(name) ?? []), answer]);
    else if (answer.status === 0 || answer.status === 503) refused++;
    else say(`${name} answered ${answer.status}`);
    await wait(500);
  }
})();

let peakOfDatabase_MB = 0;
const memory = (async () => {
  while (running()) {
    for (const { name, process: child } of watched.values())
      peak_MB.set(name, Math.max(peak_MB.get(name) ?? 0, memoryOf(child.pid!)));
    peakOfDatabase_MB = Math.max(peakOfDatabase_MB, sharedMemoryOf(postgres.pid));
    await wait(2_000);
  }
})();

const kills = (async () => {
  const at = async (part: number) => wait(Math.max(0, started_ms + part * minutes * 60_000 - Date.now()));
  for (const [name, part] of [
    ['assess', 0.1],
    ['ingest', 0.3],
    ['api', 0.45],
    ['database', 0.55],
    ['broker', 0.8],
  ] as const) {
    await at(part);
    if (!killed.has(name)) continue;
    if (name === 'database') await killDatabase(minutes >= 5 ? 30_000 : 5_000);
    else await kill(name);
  }
})();

await Promise.all([people, memory, kills]);
const elapsed_s = (Date.now() - started_ms) / 1000;
const cpuAtEnd = cpuUsed();
const sent = await new Promise<Record<string, number>>((done) => {
  publisher.on('message', (message) => {
    const told = (message as { sent?: Record<string, number> }).sent;
    if (told) done(told);
  });
  publisher.send('stop');
});
await probes;
await boundary;

const one = async (text: string, values: unknown[] = []) =>
  Number(Object.values((await database.query(text, values)).rows[0] as object)[0]);
const storedRows = () => one('select count(*) from reading where time >= to_timestamp($1)', [started_s - 60]);
const historyRows = () => one('select count(*) from reading where time < to_timestamp($1)', [window_s]);
let all = 0;
for (let quiet = 0; quiet < 3;) {
  const now = (await storedRows()) + (history_s > 0 ? await historyRows() : 0);
  quiet = now === all ? quiet + 1 : 0;
  all = now;
  await wait(2_000);
}

const rows = await storedRows();

// What was asked.
report.print('units', units, 'units');
report.print('published', sent.messages, 'messages');
report.print(
  'unreadable-kept-or-counted',
  await one('select coalesce(sum(kept + not_kept), 0) from unread_count'),
  'messages',
  {
    least: sent.bad * 0.99,
  },
);
// Of fewer than 300 probes, one a second, the p99 is the one that met the database away: the bar is for longer runs.
const lags_s = probed.map(lag_s);
report.print('stored-within-p99', quantile(lags_s, 0.99), 's', pagesHaveBars ? { most: 15 } : undefined);
report.print('stored-within-median', quantile(lags_s, 0.5), 's', { most: 15 });
for (const { from_ms, to_ms } of away) {
  report.print('database-away', (to_ms - from_ms) / 1000, 's');
  const during = probed.filter(({ at_ms }) => at_ms >= from_ms && at_ms < to_ms).map(lag_s);
  report.print(
    'stored-after-its-return-within',
    Math.max(...during),
    's',
    pagesHaveBars ? { most: 15 } : undefined,
  );
}
report.print('windows-judged-within', judged_s, 's', { most: 600 });
report.print('findings-brought-up-within', assessed_s, 's', { most: 600 });
report.print('rows-lost', sent.rows - rows, 'rows', { most: 0 });
if (history_s > 0) {
  report.print('history-published', sent.historyRows, 'rows');
  report.print('history-rows-lost', sent.historyRows - (await historyRows()), 'rows', { most: 0 });
}
report.print('processes-ended-unasked', diedUnasked.length, `processes ${diedUnasked.join(',')}`, {
  most: 0,
});
report.print('pages-refused-during-kills', refused, 'requests');
const p95 = (name: string) =>
  quantile(
    (answers.get(name) ?? []).map(({ time_ms }) => time_ms),
    0.95,
  );
const bytes = (name: string) => Math.max(...(answers.get(name) ?? []).map((answer) => answer.bytes)) / 1000;
const bar = (most: number) => (pagesHaveBars ? { most } : undefined);
report.print('round-p95', p95('round'), 'ms', bar(100));
report.print('round-on-the-wire', bytes('round'), 'kB', { most: 60 });
report.print('unit-p95', p95('unit'), 'ms', bar(150));
for (const name of ['units', 'study', 'findings', 'chart'])
  report.print(`${name}-p95`, p95(name), 'ms', bar(300));
for (const [name, megabytes] of peak_MB) report.print(`memory-${name}`, megabytes, 'MB', { most: 700 });
report.print('memory-database', peakOfDatabase_MB, 'MB');
const used = cpuAtEnd;
let cpu_s = 0;
for (const [name, seconds] of used) {
  cpu_s += seconds;
  report.print(`cpu-${name}`, seconds, 's');
}
report.print('both-cores', (100 * cpu_s) / (2 * elapsed_s), '%', { most: 80 });
if (whenAssessed !== undefined && elapsed_s - whenAssessed.elapsed_s > 60) {
  // After the ended windows are done, messages are what is left; before, both were.
  let day_s = 0;
  for (const [name, seconds] of used) {
    const later = seconds - whenAssessed.cpu.get(name)!;
    const message_s = later / (rate * (elapsed_s - whenAssessed.elapsed_s));
    const ended_s = (whenAssessed.cpu.get(name)! - message_s * rate * whenAssessed.elapsed_s) / circuits;
    report.print(`cpu-a-message-${name}`, 1000 * message_s, 'ms');
    report.print(`cpu-a-window-${name}`, 1000 * ended_s, 'ms');
    day_s += 8640 * message_s + 12 * ended_s;
  }
  report.print('cpu-a-circuit-day', day_s, 's');
}

const perRow = async (table: string) => {
  const parts = `select sum(pg_total_relation_size(inhrelid)) from pg_inherits where inhparent = '${table}'::regclass`;
  return (await one(parts)) / Math.max(1, await one(`select count(*) from ${table}`));
};
await database.query('analyze');
report.print('bytes-readings', (await perRow('reading')) * 8640, 'bytes/circuit-day');
report.print('bytes-windows', await perRow('circuit_day'), 'bytes/circuit-day');
report.print('bytes-rollups', (await perRow('rollup_window')) * 12, 'bytes/circuit-day');

if (silentGateway > 0) {
  const noticed = await database.query<{ s: number }>(
    `select extract(epoch from min(f.opened_at))::float8 as s from finding f join unit u on u.id = f.unit_id
       join site on site.id = u.site_id where site.key = $1 and f.condition = 'no-telemetry'`,
    [`site-${silentGateway}`],
  );
  report.print('silent-gateway-noticed-after', noticed.rows[0].s - started_s - 30, 's', { most: 900 });
}

for (const { process: child, name } of watched.values()) {
  watched.get(name)!.killed = true;
  child.kill('SIGTERM');
}
await wait(3_000);
for (const { process: child } of watched.values()) if (child.exitCode === null) child.kill('SIGKILL');
await database.close();
await postgres.stop();
execFileSync('rm', ['-rf', folder]);
for (const line of report.missed) console.log(`scale: missed: ${line}`);
process.exit(report.missed.length > 0 ? 1 : 0);
