/**
 * How fast a circuit's readings are taken away: `node tests/support/run-ts.mjs tests/load/export-load.ts`.
 * `DAYS` (365) of readings at 10 s are put into an embedded PostgreSQL of its own, then exported in both formats. Judged is the
 * processor time of this process, as PostgreSQL has a core of its own and others may share both.
 */
import { createWriteStream } from 'node:fs';
import { rm, stat } from 'node:fs/promises';
import { join } from 'node:path';
import { PartitionKeeper, weeksOf } from '../../backend/server/src/storage/index.js';
import { TakenRepository } from '../../backend/server/src/storage/taking-away/taken.repository.js';
import { exportFormats, TakeAwayService } from '../../backend/server/src/export/take-away.service.js';
import { FleetService } from '../../backend/server/src/registry/fleet.service.js';
import { FleetRepository } from '../../backend/server/src/storage/repositories/fleet.repository.js';
import { openMigrated, startDatabaseServer, temporaryFolder } from '../support/store/database.js';
import { seedFleet } from '../support/store/fleet.js';

const days = Number(process.env.DAYS ?? 365);
const required_rows_s = 500_000;
const day_s = 86_400;
const from_s = Math.floor(Date.now() / 1000 / day_s - days) * day_s;
const to_s = from_s + days * day_s;

const server = await startDatabaseServer();
const folder = await temporaryFolder('export');
const database = await openMigrated(await server.newDatabase());
let missed = false;
try {
  await seedFleet(database);
  await new PartitionKeeper(database.pool).ensure(
    'reading',
    weeksOf(Array.from({ length: days }, (_, day) => (from_s + day * day_s) * 1000)),
  );
  for (let day = 0; day < days; day += 7)
    await database.query(
      `insert into reading (circuit_id, time, suction_pressure_pa, suction_temperature_k, valve_opening_pct, discharge_pressure_pa,
          discharge_temperature_k, liquid_temperature_k, superheat_setpoint_k, compressor_load_pct, compressor_power_w,
          suction_saturation_k, discharge_saturation_k, superheat_k, subcooling_k)
       select 1, to_timestamp(s), 345000 + 4000 * sin(s / 90.0) + 300 * random(), 284 + sin(s / 80.0) + 0.1 * random(),
              round((45 + 8 * sin(s / 70.0))::numeric, 1), 990000 + 20000 * sin(s / 900.0) + 900 * random(), 340 + random(),
              308 + sin(s / 1000.0) + 0.1 * random(), 6, 75, 41000 + 500 * random(), 277 + sin(s / 90.0), 312 + sin(s / 900.0),
              7 + sin(s / 80.0), 4 + sin(s / 1000.0)
         from generate_series($1::bigint, $2::bigint - 1, 10) as s`,
      [from_s + day * day_s, Math.min(to_s, from_s + (day + 7) * day_s)],
    );
  const exports = new TakeAwayService({
    fleet: new FleetService(new FleetRepository(database)),
    taken: new TakenRepository(database),
    studies: {
      everyCircuit: () => Promise.reject(new Error()),
      backupMonths: () => Promise.reject(new Error()),
    },
  });
  for (const format of exportFormats) {
    const path = join(folder, `readings.${format}`);
    const file = createWriteStream(path, { highWaterMark: 4 * 1024 * 1024 });
    const { write } = await exports.take(
      { sites: null },
      { table: 'readings', format, span: { from_s, to_s } },
    );
    let memory_bytes = 0;
    const watch = setInterval(() => (memory_bytes = Math.max(memory_bytes, process.memoryUsage().rss)), 100);
    const before = process.cpuUsage();
    const began_ms = performance.now();
    const rows = await write(file);
    const wall_s = (performance.now() - began_ms) / 1000;
    const { user, system } = process.cpuUsage(before);
    clearInterval(watch);
    await new Promise((closed) => file.end(closed));
    const { size } = await stat(path);
    const rows_s = rows / ((user + system) / 1e6);
    console.log(
      `${format}: ${rows} rows, ${Math.round(rows_s / 1000)},000 rows a second of processor (${Math.round(rows / wall_s / 1000)},000 by the clock), ` +
        `${(size / rows).toFixed(1)} bytes a row, ${Math.round(memory_bytes / 1e6)} MB at most`,
    );
    if (rows_s < required_rows_s) missed = true;
  }
} finally {
  await database.close();
  await server.stop();
  await rm(folder, { recursive: true, force: true });
}
process.exit(missed ? 1 : 0);
