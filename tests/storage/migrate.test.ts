import { cp, mkdtemp, readdir, rm, writeFile } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import {
  applyRetention,
  createPool,
  DatabaseVersionError,
  migrate,
  PartitionKeeper,
  weeksOf,
} from '../../backend/server/src/storage/index.js';
import {
  type DatabaseServer,
  engines,
  openMigrated,
  startDatabaseServer,
} from '../support/store/database.js';

const folder = fileURLToPath(new URL('../../backend/server/migrations', import.meta.url));
const copyOfMigrations = async () => {
  const copy = await mkdtemp(join(tmpdir(), 'coldrounds-migrations-'));
  await cp(folder, copy, { recursive: true });
  return copy;
};

describe.each(engines)('a database on $name', ({ url, skip }) => {
  let server: DatabaseServer;
  beforeAll(async () => {
    if (!skip) server = await startDatabaseServer(url);
  });
  afterAll(() => server?.stop());

  it.skipIf(skip)('is migrated once, and a second time changes nothing', async () => {
    const pool = createPool(await server.emptyDatabase());
    const first = await migrate(pool);
    expect(first.applied).toEqual((await readdir(folder)).sort());
    expect(first.engine).toBe(url ? 'timescaledb' : 'partitions');
    expect((await migrate(pool)).applied).toEqual([]);
    if (url) {
      const { rows } = await pool.query(
        'select hypertable_name::text as name from timescaledb_information.hypertables order by 1',
      );
      expect(rows.map((row) => row.name)).toEqual([
        'backup_reading',
        'circuit_day',
        'closing',
        'closing_result',
        'condenser_reading',
        'daily_figures',
        'delivery_hour',
        'departure_day',
        'diagnosis_change',
        'finding_change',
        'missing_samples',
        'reading',
        'rollup_window',
        'water_reading',
      ]);
    }
    await pool.end();
  });

  it.skipIf(skip)('made before the condenser had telemetry gets its table and the power column', async () => {
    const pool = createPool(await server.emptyDatabase());
    const older = await copyOfMigrations();
    for (const name of await readdir(older)) if (name >= '0006') await rm(join(older, name));
    await migrate(pool, older);
    await pool.query('drop table condenser_reading');
    await pool.query('alter table reading drop column compressor_power_w');
    expect((await migrate(pool)).applied).toContain('0006-contract.sql');
    await new PartitionKeeper(pool).ensure('condenser_reading', [2900]);
    await pool.query('select compressor_power_w from reading');
    const { rows } = await pool.query('select entering_temperature_k, fan_speed_pct from condenser_reading');
    expect(rows).toEqual([]);
    await pool.end();
  });

  it.skipIf(skip)('made before closings and changes were divided by time keeps their rows', async () => {
    const pool = createPool(await server.emptyDatabase());
    const older = await copyOfMigrations();
    for (const name of await readdir(older)) if (name >= '0030') await rm(join(older, name));
    await migrate(pool, older);
    const { rows: ids } = await pool.query<{ module: number; finding: number }>(
      `with s as (insert into site (key, name, altitude_m, latitude_deg, longitude_deg, time_zone, climate)
                  values ('harbour', 'Harbour', 0, 54, 10, 'Europe/Berlin', 'temperate') returning id),
            u as (insert into unit (site_id, key, name, refrigerant, nominal_capacity_w, condenser, commissioned_on, controller_firmware)
                  select id, 'chiller-1', 'Chiller 1', 'R134a', 300000, 'air', '2020-01-01', '1.0' from s returning id),
            m as (insert into module (unit_id, number, entry) select id, 1, '{}' from u returning id),
            f as (insert into finding (unit_id, subject_key, condition, urgency, certainty, waiting, document)
                  select id, 'circuit/1', 'hunting', 'watch', 'certain', 5, '{}' from u returning id)
       select m.id as module, f.id as finding from m, f`,
    );
    const { module, finding } = ids[0];
    const moments = ['1969-12-30T00:00:00Z', '2025-02-01T06:00:00.050Z', '2026-11-20T06:00:00Z'];
    for (const moment of moments) {
      await pool.query(`insert into closing values ($1, $2, '{0,0.05}', '{15,15}', '{1,null}', '{50,50}')`, [
        module,
        moment,
      ]);
      await pool.query(
        `insert into closing_result (module_id, started_at, kind, detail)
         values ($1, $2, 'self-test', '{"voltageBefore_V": 15.5}')`,
        [module, moment],
      );
      await pool.query(`insert into finding_change values ($1, $2, 'watch', 'certain', 5, '{"b":2}')`, [
        finding,
        moment,
      ]);
    }
    const all = async () =>
      Promise.all(
        ['closing', 'closing_result', 'finding_change'].map(
          async (table) => (await pool.query(`select * from ${table} order by 2`)).rows,
        ),
      );
    const before = await all();
    expect((await migrate(pool)).applied).toContain('0030-divided-results.sql');
    const [closings, results, changes] = await all();
    // A later migration reads the voltage out of what was found.
    const withVoltage = before[1].map((row) => ({ ...(row as object), voltage_before_v: 15.5 }));
    expect([closings, results, changes]).toEqual([before[0], withVoltage, before[2]]);
    expect(before[0]).toHaveLength(moments.length);
    await pool.end();
  });

  it.skipIf(skip)(
    'brings stored findings and assessments to their present names, and no words in them',
    async () => {
      const pool = createPool(await server.emptyDatabase());
      const older = await copyOfMigrations();
      for (const name of await readdir(older)) if (name >= '0027') await rm(join(older, name));
      await migrate(pool, older);
      const text = 'Someone wrote "speaksFor": and "huntingShare": here.';
      await pool.query(`insert into site (key, name, climate, latitude_deg, longitude_deg, altitude_m, time_zone)
                      values ('s', 'S', 'temperate', 0, 0, 0, 'UTC')`);
      await pool.query(`insert into unit (site_id, key, name, refrigerant, nominal_capacity_w, condenser, commissioned_on, controller_firmware)
                      values (1, 'u', 'U', 'R134a', 1e5, 'air', '2020-01-01', '1')`);
      await pool.query(`insert into circuit (unit_id, number, entry) values (1, 1, '{}')`);
      await pool.query(`insert into module (unit_id, number, entry) values (1, 1, '{}')`);
      await pool.query(
        `insert into finding (unit_id, subject_key, condition, urgency, certainty, waiting, document)
       values (1, 'circuit 1', 'hunting', 'watch', 'likely', 1, $1)`,
        [{ explanations: [{ cause: text, speaksFor: [{ text }], speaksAgainst: [] }] }],
      );
      await pool.query(
        `insert into finding_change (finding_id, changed_at, urgency, certainty, waiting, document)
       select id, now(), urgency, certainty, waiting, document from finding`,
      );
      await pool.query('insert into circuit_result (circuit_id, detail) values (1, $1)', [
        {
          days: [{ underLimitShare: 0.1, surelyUnderLimitShare: 0, starvedShare: null, huntingShare: 0.5 }],
          wear: { nearShutShare: 0, nearOpenShare: 1 },
          hunting: { causes: [{ cause: text, speaksFor: [], speaksAgainst: [{ text }] }] },
          headroom: { coveredShare: 0.8, energyShare: 0.03 },
        },
      ]);
      await pool.query('insert into module_result (module_id, detail) values (1, $1)', [
        { ageing: [{ capacitanceShare: 0.9, esrShare: 1.2 }], reserve: { standsOn: [{ text }] } },
      ]);
      await pool.query(
        `insert into circuit_state (circuit_id, habits) values (1, $1)
         on conflict (circuit_id) do update set habits = excluded.habits`,
        [{ signals: { suctionPressure_Pa: { standsFor_s: 40 } } }],
      );
      await migrate(pool);

      expect((await pool.query('select habits from circuit_state')).rows).toEqual([
        { habits: { signals: { suctionPressure_Pa: { longestUnchanged_s: 40 } } } },
      ]);
      const explained = { explanations: [{ cause: text, supports: [{ text }], contradicts: [] }] };
      for (const table of ['finding', 'finding_change'])
        expect((await pool.query(`select document from ${table}`)).rows).toEqual([{ document: explained }]);
      expect((await pool.query('select detail from circuit_result')).rows[0].detail).toEqual({
        days: [
          {
            underLimitFraction: 0.1,
            surelyUnderLimitFraction: 0,
            starvedFraction: null,
            huntingFraction: 0.5,
          },
        ],
        wear: { nearShutFraction: 0, nearOpenFraction: 1 },
        hunting: { causes: [{ cause: text, supports: [], contradicts: [{ text }] }] },
        headroom: { coveredFraction: 0.8, energyFraction: 0.03 },
      });
      expect((await pool.query('select detail from module_result')).rows[0].detail).toEqual({
        ageing: [{ relativeCapacitance: 0.9, relativeEsr: 1.2 }],
        reserve: { basedOn: [{ text }] },
      });
      await pool.end();
    },
  );

  it.skipIf(skip)('is migrated once by four processes that start together', async () => {
    const address = await server.emptyDatabase();
    const pools = [1, 2, 3, 4].map(() => createPool(address));
    const outcomes = await Promise.all(pools.map((pool) => migrate(pool)));
    expect(outcomes.filter((outcome) => outcome.applied.length > 0)).toHaveLength(1);
    await Promise.all(pools.map((pool) => pool.end()));
  });

  it.skipIf(skip)('of a newer version is refused with a sentence', async () => {
    const database = await openMigrated(await server.newDatabase());
    const newer = await copyOfMigrations();
    await writeFile(join(newer, '9999-later.sql'), 'create table later (id integer);');
    await migrate(database.pool, newer);
    await expect(migrate(database.pool)).rejects.toThrow(DatabaseVersionError);
    await expect(migrate(database.pool)).rejects.toThrow(/newer version of Coldrounds/);
    await database.close();
  });

  it.skipIf(skip)('takes in a file whose number lies below one that it had first', async () => {
    const database = await openMigrated(await server.newDatabase());
    const grown = await copyOfMigrations();
    await writeFile(join(grown, '9998-second.sql'), 'create table second (id integer);');
    expect((await migrate(database.pool, grown)).applied).toEqual(['9998-second.sql']);
    await writeFile(join(grown, '9997-first.sql'), 'create table first (id integer);');
    expect((await migrate(database.pool, grown)).applied).toEqual(['9997-first.sql']);
    expect((await migrate(database.pool, grown)).applied).toEqual([]);
    await writeFile(join(grown, '9998-again.sql'), 'select 1;');
    await expect(migrate(database.pool, grown)).rejects.toThrow(/numbered 9998/);
    await database.close();
  });

  it.skipIf(skip)('made from other files is refused', async () => {
    const database = await openMigrated(await server.newDatabase());
    const other = await copyOfMigrations();
    await writeFile(join(other, (await readdir(other)).sort()[0]), 'select 1;');
    await expect(migrate(database.pool, other)).rejects.toThrow(/made with a different 0001-/);
    await database.close();
  });

  it.skipIf(skip)('that belongs to something else is refused', async () => {
    const pool = createPool(await server.emptyDatabase());
    await pool.query('create table site (id integer)');
    await expect(migrate(pool)).rejects.toThrow(/made by another program/);
    await pool.end();
  });

  it.skipIf(skip)('keeps 400 days of weeks and drops those before the horizon', async () => {
    const database = await openMigrated(await server.newDatabase());
    const day_ms = 86_400_000;
    const now = Date.UTC(2026, 5, 15);
    const times = Float64Array.from({ length: 401 }, (_, i) => now - (400 - i) * day_ms);
    const keeper = new PartitionKeeper(database.pool);
    await keeper.ensure('backup_reading', weeksOf(times));
    for (const time of times) {
      await database.query('insert into backup_reading (module_id, time, voltage_v) values (1, $1, 2.5)', [
        new Date(time),
      ]);
    }
    const dropped = await applyRetention(
      database.pool,
      { readings_days: 100, results_days: null, unreadMessages_days: null },
      new Date(now),
    );
    const { rows } = await database.query<{ n: number; first: Date }>(
      'select count(*) as n, min(time) as first from backup_reading',
    );
    // Whole weeks go: at least the 100 days are left, and less than a week more.
    expect(rows[0].n).toBeGreaterThanOrEqual(101);
    expect(rows[0].n).toBeLessThan(108);
    expect(dropped.length).toBeGreaterThan(40);
    await database.close();
  });
});
