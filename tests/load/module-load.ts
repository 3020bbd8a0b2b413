/**
 * What the assessment of a backup module costs that sends every minute and is tested every week: readings of the last
 * 30 days and a year of closings are seeded, then all modules are assessed. Prints milliseconds a module of this process
 * and of PostgreSQL.
 *
 *   node tests/support/run-ts.mjs tests/load/module-load.ts
 *
 * MODULES (40) sets the amount.
 */
import { ModuleAssessor } from '../../backend/server/src/assessment/module/module-assessor.js';
import { ModuleWorkRepository } from '../../backend/server/src/storage/assessment/module-work.repository.js';
import { PartitionKeeper, weeksOf } from '../../backend/server/src/storage/index.js';
import { ModuleRepository } from '../../backend/server/src/storage/repositories/results/module.repository.js';
import { cpuOf } from '../scale/measures.js';
import { assessorParts } from '../support/assessor.js';
import { openMigrated, freePort, temporaryFolder } from '../support/store/database.js';
import { startEmbeddedPostgres } from '../../backend/server/src/embedded/postgres.js';
import { seedFleet } from '../support/store/fleet.js';

const modules = Number(process.env.MODULES ?? 40);
const day_s = 86_400;
const now_s = Math.floor(Date.now() / 1000);
const postgres = await startEmbeddedPostgres({
  dataDir: await temporaryFolder('modules'),
  port: await freePort(),
});
const database = await openMigrated(postgres.url);
await seedFleet(database, modules, 1);

const days = Array.from({ length: 32 }, (_, i) => (now_s - i * day_s) * 1000);
await new PartitionKeeper(database.pool).ensure('backup_reading', weeksOf(days));
await database.query(
  `insert into backup_reading (module_id, time, voltage_v, current_a, temperature_k, mains, health)
   select m, to_timestamp($1 - 60 * i), 15.5 + 0.01 * (i % 3), 0.002, 298 + 5 * sin(i / 229.0), true, true
     from generate_series(1, $2::int) as m, generate_series(0, $3::int) as i`,
  [now_s, modules, 30 * 1440],
);
const closings_ms = Array.from({ length: 54 }, (_, w) => (now_s - w * 7 * day_s) * 1000);
for (const table of ['closing', 'closing_result'])
  await new PartitionKeeper(database.pool).ensure(table, weeksOf(closings_ms));
// A year of weekly tests: 8 W drawn from 10 F for 12 s, a little less each month.
await database.query(
  `insert into closing (module_id, started_at, time_s, voltage_v, current_a, valve_opening_pct)
   select m, to_timestamp($1 - 604800 * w - 3600 * (m % 24)),
          (select array_agg((0.1 * i)::real order by i) from generate_series(0, 140) as i),
          (select array_agg((case when i < 10 then 15.5 else 15.4 - 0.055 * (i - 10) / 10.0 * (1 + 0.002 * (52 - w)) end)::real order by i) from generate_series(0, 140) as i),
          (select array_agg((case when i < 10 then 0 else 0.53 end)::real order by i) from generate_series(0, 140) as i),
          (select array_agg((case when i < 10 then 45 else greatest(0, 45 - 4 * (i - 10) / 10.0) end)::real order by i) from generate_series(0, 140) as i)
     from generate_series(1, $2::int) as m, generate_series(0, 51) as w`,
  [now_s - day_s, modules],
);
await database.query(
  'insert into closing_due (module_id, started_at) select module_id, started_at from closing',
);
await database.query('insert into module_due (module_id, touched_at) select id, now() from module');
await database.query('analyze');

const { readings, findings, fleet } = assessorParts(database);
const work = new ModuleWorkRepository(database);
const assessor = new ModuleAssessor({
  work,
  modules: new ModuleRepository(database),
  readings,
  findings,
  failed: (id, error) => console.log(`module ${id} failed:`, error),
});
await work.enrol();
const parts = await fleet.load();

async function round(name: string): Promise<void> {
  const [server, own, started] = [cpuOf(postgres.pid), process.cpuUsage(), performance.now()];
  for (const { unit, module } of parts.modules.values()) await assessor.run(unit, module);
  const { user, system } = process.cpuUsage(own);
  console.log(
    `modules: ${name}: assessor ${((user + system) / 1000 / modules).toFixed(1)} ms, PostgreSQL ${((1000 * (cpuOf(postgres.pid) - server)) / modules).toFixed(1)} ms, ${((performance.now() - started) / modules).toFixed(1)} ms in all, a module`,
  );
}
await round('first, with 52 closings to judge');
await round('again, with nothing new');
await round('again, with nothing new');
const { rows } = await database.query<{ state: string; n: number }>(
  `select detail #>> '{reserve,state}' as state, count(*)::int as n from module_result group by 1`,
);
console.log(`modules: reserve ${rows.map(({ state, n }) => `${state} of ${n}`).join(', ')}`);
await database.close();
await postgres.stop();
