/**
 * Measures what it costs ingestion to count how telemetry comes: the same batches written with and without their
 * deliveries, in turn, so that what else the machine does falls on both. Prints wall time, this process's own time, the
 * database's (Linux), and what it takes to add the counts to their hours.
 *
 *   nice node tests/support/run-ts.mjs tests/load/delivery-load.ts
 *
 * UNITS (1000) of one circuit, BATCHES (60) of each kind; DATABASE_URL uses a server that is there.
 */
import { existsSync, readdirSync, readFileSync } from 'node:fs';
import {
  emptyBatch,
  type IngestBatch,
  IngestRepository,
  readingTable,
} from '../../backend/server/src/storage/index.js';
import { DeliveryRepository } from '../../backend/server/src/storage/delivery/delivery.repository.js';
import { openMigrated, startDatabaseServer } from '../support/store/database.js';
import { seedFleet } from '../support/store/fleet.js';

const units = Number(process.env.UNITS ?? 1000);
const batches = Number(process.env.BATCHES ?? 60);
const server = await startDatabaseServer(process.env.DATABASE_URL);
const database = await openMigrated(await server.newDatabase());
await seedFleet(database, units, 1);
const repository = new IngestRepository(database.pool);
const deliveries = new DeliveryRepository(database);

const { rows: own } = await database.query<{ pid: number }>('select pg_backend_pid() as pid');
const fieldsOf = (pid: number | string) => {
  const stat = readFileSync(`/proc/${pid}/stat`, 'utf8');
  return stat.slice(stat.lastIndexOf(')') + 2).split(' ');
};
/** The server's first process; null where the system does not tell. */
const parent = existsSync(`/proc/${own[0].pid}/stat`) ? fieldsOf(own[0].pid)[1] : null;

/** Processor time of the database's processes, s: of this system's clock ticks of 10 ms. */
function databaseTime_s(): number {
  if (parent === null) return NaN;
  let ticks = 0;
  for (const pid of readdirSync('/proc').filter((name) => /^\d+$/.test(name))) {
    try {
      const fields = fieldsOf(pid);
      if (fields[1] === parent) ticks += Number(fields[11]) + Number(fields[12]);
    } catch {
      // It ended meanwhile.
    }
  }
  return ticks / 100;
}

/** Packs of so many circuits with so many rows of 10 s each, from a moment on. */
function batchOf(circuits: number, rows: number, first_ms: number, counted: boolean): IngestBatch {
  const batch = emptyBatch();
  for (let circuit = 1; circuit <= circuits; circuit++) {
    const time_ms = Float64Array.from({ length: rows }, (_, i) => first_ms + i * 10_000);
    const columns = readingTable.columns.map((_, c) =>
      Float64Array.from({ length: rows }, (_, i) => (c < 8 ? 100 + ((i * 7 + c * 13 + circuit) % 50) : NaN)),
    );
    batch.readings.push({ ownerId: circuit, length: rows, time_ms, columns });
    if (counted)
      batch.deliveries.push({
        ...{ unitId: circuit, table: 'reading' as const, ownerId: circuit, time_ms },
        receivedAt_ms: first_ms + rows * 10_000 + circuit,
      });
  }
  return batch;
}

interface Cost {
  wall_s: number;
  own_s: number;
  database_s: number;
}
const none = (): Cost => ({ wall_s: 0, own_s: 0, database_s: 0 });

async function add(cost: Cost, work: () => Promise<unknown>): Promise<void> {
  const [wall, own, other] = [performance.now(), process.cpuUsage(), databaseTime_s()];
  await work();
  const used = process.cpuUsage(own);
  cost.wall_s += (performance.now() - wall) / 1000;
  cost.own_s += (used.user + used.system) / 1e6;
  cost.database_s += databaseTime_s() - other;
}

let at_ms = Date.UTC(2026, 4, 4);
for (const { name, circuits, rows } of [
  { name: 'hour packs', circuits: 44, rows: 360 },
  { name: 'single samples', circuits: Math.min(units, 1000), rows: 1 },
]) {
  const costs = { without: none(), counted: none() };
  for (let n = 0; n < 2 * (batches + 3); n++) {
    const counted = n % 2 === 1;
    const batch = batchOf(circuits, rows, at_ms, counted);
    at_ms += rows * 10_000;
    const cost = n < 6 ? none() : costs[counted ? 'counted' : 'without'];
    await add(cost, () => repository.write(batch));
  }
  const folding = none();
  let folded = 0;
  await add(folding, async () => {
    folded = await deliveries.fold();
  });
  const all = circuits * rows * batches;
  for (const [kind, { wall_s, own_s, database_s }] of Object.entries(costs))
    console.log(
      `${name}, ${kind}: ${all} rows at ${Math.round(all / wall_s)} rows/s; own ${((own_s / all) * 1e6).toFixed(2)} µs, database ${((database_s / all) * 1e6).toFixed(2)} µs a row`,
    );
  const part = (of: keyof Cost) => ((costs.counted[of] / costs.without[of] - 1) * 100).toFixed(1);
  console.log(
    `${name}: counting adds ${part('wall_s')} % of the time, ${part('own_s')} % of the ingester, ${part('database_s')} % of the database; ${folded} tallies added to their hours in ${(folding.wall_s * 1000).toFixed(0)} ms, own ${(folding.own_s * 1000).toFixed(0)} ms, database ${(folding.database_s * 1000).toFixed(0)} ms`,
  );
}
await database.close();
await server.stop();
process.exit(0);
