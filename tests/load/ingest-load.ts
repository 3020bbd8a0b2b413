/**
 * Measures ingestion end to end: packs of an hour of 10 s samples through the embedded broker into the embedded
 * database, and reading series back. Prints what it measured; nothing is judged here.
 *
 *   node tests/support/run-ts.mjs tests/load/ingest-load.ts
 *
 * CIRCUITS (44) and HOURS (48) set the load; DATABASE_URL and MQTT_URL use servers that are there.
 */
import { startDatabaseServer, freePort, openMigrated } from '../support/store/database.js';
import { seedFleet } from '../support/store/fleet.js';
import { type Part, startPart } from '../support/parts/process.js';
import { circuitPack, type Outgoing, publishAll, until } from '../support/publish.js';
import { readCircuitSeries } from '../../backend/server/src/storage/index.js';

const circuits = Number(process.env.CIRCUITS ?? 44);
const hours = Number(process.env.HOURS ?? 48);
const first_s = Date.UTC(2026, 0, 5) / 1000;
const parts: Part[] = [];

const server = await startDatabaseServer(process.env.DATABASE_URL);
const databaseUrl = await server.newDatabase();
const database = await openMigrated(databaseUrl);
await seedFleet(database, circuits, 1);

let mqttUrl = process.env.MQTT_URL;
if (!mqttUrl) {
  const port = await freePort();
  parts.push(await startPart('support/parts/broker-part.ts', { MQTT_PORT: String(port) }));
  mqttUrl = `mqtt://127.0.0.1:${port}`;
}
const ingester = await startPart('support/parts/ingester-part.ts', {
  DATABASE_URL: databaseUrl,
  MQTT_URL: mqttUrl,
  CLIENT_ID: `load-${process.pid}`,
});

// One hour's pack per circuit is made before the clock runs and re-dated as it is sent: making packs is not measured.
const packs = Array.from({ length: circuits }, (_, circuit) => circuitPack(0, 360, circuit));
function* messages(): Generator<Outgoing> {
  for (let hour = 0; hour < hours; hour++) {
    for (let circuit = 0; circuit < circuits; circuit++) {
      yield {
        topic: `coldrounds/1/harbour/chiller-${circuit + 1}/circuits/1`,
        payload: packs[circuit].replace('"bt":0', `"bt":${first_s + hour * 3600}`),
      };
    }
  }
}
const rows = circuits * hours * 360;
const started = performance.now();
await publishAll(mqttUrl, messages());
const published_s = (performance.now() - started) / 1000;
await until(
  'all rows',
  async () => (await database.query<{ n: number }>('select count(*) as n from reading')).rows[0].n === rows,
  600_000,
);
const stored_s = (performance.now() - started) / 1000;
console.log(
  `${rows} rows (${(rows * 8).toLocaleString('en')} values) in ${circuits * hours} packs: published in ${published_s.toFixed(1)} s, stored in ${stored_s.toFixed(1)} s: ${Math.round(rows / stored_s)} rows/s`,
);

for (const span_h of [2, 24]) {
  const times: number[] = [];
  for (let i = 0; i < 21; i++) {
    const from = performance.now();
    await readCircuitSeries(
      database,
      (i % circuits) + 1,
      new Date(first_s * 1000),
      new Date((first_s + span_h * 3600) * 1000),
    );
    times.push(performance.now() - from);
  }
  console.log(
    `${span_h} h of one circuit read in ${times.sort((a, b) => a - b)[10].toFixed(1)} ms (median of 21)`,
  );
}

await ingester.stop();
for (const part of parts) await part.stop();
await database.close();
await server.stop();
process.exit(0);
