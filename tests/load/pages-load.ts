/**
 * Measures how fast the pages answer over a large invented fleet, and how much goes over the wire (brotli). Prints one
 * line `scale: NAME VALUE UNIT` each and ends with code 1 where one misses its limit.
 *
 *   node tests/support/run-ts.mjs tests/load/pages-load.ts
 *
 * UNITS (10000) and TIMES (60) set the load; DATABASE_URL uses a server that is there.
 */
import { request } from 'node:http';
import { freePort, openMigrated, startDatabaseServer } from '../support/store/database.js';
import { DataHealthKeeper } from '../../backend/server/src/assessment/data-health/data-health-keeper.js';
import { SilenceRepository } from '../../backend/server/src/storage/assessment/silence.repository.js';
import { DataHealthRepository } from '../../backend/server/src/storage/delivery/data-health.repository.js';
import { seedDeliveries, seedLargeFleet } from '../support/store/large-fleet.js';
import { startPart } from '../support/parts/process.js';
import { until } from '../support/publish.js';

const units = Number(process.env.UNITS ?? 10_000);
const times = Number(process.env.TIMES ?? 60);

const server = await startDatabaseServer(process.env.DATABASE_URL);
const databaseUrl = await server.newDatabase();
const database = await openMigrated(databaseUrl);
const seeded_ms = Date.now();
await seedLargeFleet(database, { units });
console.log(`scale: seeding ${((Date.now() - seeded_ms) / 1000).toFixed(0)} s`);
const counted_ms = Date.now();
await seedDeliveries(database);
console.log(`scale: seeding-deliveries ${((Date.now() - counted_ms) / 1000).toFixed(0)} s`);
const health = new DataHealthKeeper({
  silence: new SilenceRepository(database),
  dataHealth: new DataHealthRepository(database),
});
await health.look();
const looked_ms = Date.now();
await health.look();
console.log(`scale: data-health-of-all ${Date.now() - looked_ms} ms`);
const port = await freePort();
const api = await startPart('support/parts/server-part.ts', {
  DATABASE_URL: databaseUrl,
  ROLES: 'api',
  PORT: String(port),
  LOG_LEVEL: 'warn',
});

interface Answer {
  status: number;
  bytes: number;
  etag: string;
  time_ms: number;
}
const ask = (path: string, headers: Record<string, string> = {}) =>
  new Promise<Answer>((resolve, reject) => {
    const from_ms = performance.now();
    request(
      { port, path, headers: { 'accept-encoding': 'br', ...headers }, host: '127.0.0.1' },
      (response) => {
        let bytes = 0;
        response.on('data', (chunk: Buffer) => (bytes += chunk.length));
        response.on('end', () =>
          resolve({
            status: response.statusCode!,
            bytes,
            etag: String(response.headers.etag),
            time_ms: performance.now() - from_ms,
          }),
        );
      },
    )
      .on('error', reject)
      .end();
  });

const ranked_ms = Date.now();
await until(
  'the order of the round',
  async () => {
    const { rows } = await database.query<{ due: number }>('select count(*)::int as due from attention_due');
    return rows[0].due === 0;
  },
  300_000,
);
console.log(`scale: ranking-anew ${((Date.now() - ranked_ms) / 1000).toFixed(1)} s`);

let missed = false;
async function measure(name: string, path: (n: number) => string, limit_ms: number, limit_kB?: number) {
  await ask(path(0));
  const answers: Answer[] = [];
  for (let n = 1; n <= times; n++) answers.push(await ask(path(n)));
  const bad = answers.findIndex(({ status }) => status !== 200);
  if (bad >= 0) {
    missed = true;
    return console.log(`missed: ${path(bad + 1)} answered ${answers[bad].status}`);
  }
  const sorted = answers.map(({ time_ms }) => time_ms).sort((a, b) => a - b);
  const p95_ms = sorted[Math.ceil(0.95 * sorted.length) - 1];
  const largest_kB = Math.max(...answers.map(({ bytes }) => bytes)) / 1000;
  console.log(`scale: ${name}-p95 ${p95_ms.toFixed(1)} ms`);
  console.log(`scale: ${name}-wire ${largest_kB.toFixed(1)} kB`);
  if (p95_ms > limit_ms || largest_kB > (limit_kB ?? Infinity)) {
    missed = true;
    console.log(`missed: ${name} must stay within ${limit_ms} ms${limit_kB ? ` and ${limit_kB} kB` : ''}`);
  }
}

try {
  const unit = '/api/units/site-1/chiller-1';
  const unitOf = (n: number) => `/api/units/site-${1 + Math.floor((n - 1) / 20)}/chiller-${Math.max(1, n)}`;
  const month = `from=${Date.now() / 1000 - 30 * 86_400}&to=${Date.now() / 1000}&points=1000`;
  await measure('round-first-page', () => '/api/rounds', 100, 60);
  await measure('round-of-a-site', (n) => `/api/rounds?site=site-${n + 1}`, 100, 60);
  await measure('round-words', (n) => `/api/rounds?q=swings%20chiller%20${n}`, 100, 60);
  await measure('round-of-a-region', () => '/api/rounds?region=no%20region', 100, 60);
  await measure('portfolio', () => '/api/portfolio', 300, 60);
  await measure('portfolio-by-region', () => '/api/portfolio?by=region&sort=proven', 300, 60);
  await measure('data-health', (n) => `/api/data-health?page=${1 + (n % 20)}`, 300, 60);
  await measure('data-health-by-lateness', () => '/api/data-health?sort=lateness', 300, 60);
  await measure('data-health-words', (n) => `/api/data-health?q=site-${n + 1}%20chiller`, 300, 60);
  await measure('data-health-of-a-site', (n) => `/api/sites/site-${n + 1}/data-health`, 300);
  await measure('data-health-of-a-unit', (n) => `${unitOf(n + 1)}/data-health`, 150);
  const yesterday = new Date(Date.now() - 86_400_000).toISOString();
  await measure('changes-since-yesterday', () => `/api/changes?since=${yesterday}`, 300, 60);
  await measure('unit-detail', (n) => unitOf(n + 1), 150);
  await measure('unit-findings', (n) => `/api/findings?unit=site-1/chiller-${1 + (n % 20)}&open=false`, 150);
  await measure('unit-windows', () => `${unit}/circuits/1/windows`, 150);
  await measure('unit-module', () => `${unit}/modules/1`, 150);
  await measure('unit-cycle', () => `${unit}/circuits/1/cycle`, 150);
  await measure('unit-power-losses', () => `${unit}/power-losses`, 150);
  await measure('list-of-units', () => '/api/units', 300);
  await measure('list-of-units-by-name', (n) => `/api/units?sort=unit&page=${n}`, 300);
  await measure('list-of-units-words', (n) => `/api/units?q=r134a%20site%20${n}`, 300);
  await measure('findings', () => '/api/findings?open=true', 300);
  await measure('study-circuits', () => '/api/study/circuits', 300);
  await measure('study-backup', () => '/api/study/backup-ageing', 300);
  await measure('unread', () => '/api/unread-messages', 300);
  await measure('chart-of-30-days', () => `${unit}/circuits/1/series?${month}`, 300);
  await measure('progress', () => '/api/progress', 300);
  const { etag } = await ask('/api/rounds');
  const again = await ask('/api/rounds', { 'if-none-match': etag });
  console.log(`scale: round-unchanged ${again.status} ${again.time_ms.toFixed(1)} ms`);
} catch (error) {
  missed = true;
  console.log(`missed: ${String(error)}`);
}

await api.stop();
await database.close();
await server.stop();
process.exit(missed ? 1 : 0);
