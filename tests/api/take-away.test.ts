import { unpackWindows } from '@coldrounds/core';
import { DuckDBInstance, type DuckDBConnection } from '@duckdb/node-api';
import { readFileSync } from 'node:fs';
import { rm, writeFile } from 'node:fs/promises';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, it, vi } from 'vitest';
import { runCommand } from '../../backend/server/src/bin/cli.js';
import type { RunningServer } from '../../backend/server/src/bin/server-process.js';
import { datasets } from '../../backend/server/src/export/datasets/index.js';
import { PartitionKeeper, type Database, weeksOf } from '../../backend/server/src/storage/index.js';
import { ModuleRepository } from '../../backend/server/src/storage/repositories/results/module.repository.js';
import { seedDays, seedReadings, seedRegistry } from '../scale/seed.js';
import { startApi } from '../support/api-server.js';
import { until } from '../support/publish.js';
import { closingJudgement } from '../support/store/closing-judgement.js';
import {
  type DatabaseServer,
  openMigrated,
  startDatabaseServer,
  temporaryFolder,
} from '../support/store/database.js';
import { addFinding, addPerson, type TestPerson } from '../support/store/people.js';

const window_s = Math.floor(Date.now() / 7_200_000) * 7200 - 7200;
const plan = { units: 4, sites: 2, days: 3, window_s };
const span = {
  from: new Date((window_s - 4 * 86_400) * 1000).toISOString(),
  // Decisions are of now.
  to: new Date((window_s + 4 * 7200) * 1000).toISOString(),
};

type Row = Record<string, unknown>;

/** Tables that are taken away, read back by another program than the one that wrote them. */
describe('what is taken away', () => {
  let server: DatabaseServer;
  let url: string;
  let database: Database;
  let running: RunningServer;
  let base: string;
  let folder: string;
  let duck: DuckDBConnection;
  let reader: TestPerson;

  beforeAll(async () => {
    server = await startDatabaseServer();
    url = await server.newDatabase();
    database = await openMigrated(url);
    await seedRegistry(database, plan);
    await seedDays(database, plan);
    await seedReadings(database, plan);
    // Half of the second valves send nothing, and some samples miss a value.
    await database.query(
      `update reading set valve_opening_2_pct = 12.5, liquid_temperature_k = case when extract(epoch from time)::int % 70 = 0 then null else liquid_temperature_k end
        where circuit_id % 2 = 0`,
    );
    for (const table of ['condenser_reading', 'backup_reading', 'closing_result'] as const)
      await new PartitionKeeper(database.pool).ensure(
        table,
        weeksOf([window_s * 1000, (window_s - 86_400) * 1000]),
      );
    await database.query(
      `insert into backup_reading (module_id, time, voltage_v, current_a, temperature_k, mains, health)
       select m.id, to_timestamp($1 + 60 * i), 15.9, 0, 300, i <> 3, null from module m, generate_series(0, 9) as i`,
      [window_s],
    );
    await database.query(
      `insert into condenser_reading (unit_id, time, entering_temperature_k, fan_speed_pct)
       select u.id, to_timestamp($1), 305, 80 from unit u`,
      [window_s],
    );
    await new ModuleRepository(database).writeClosings(
      1,
      [0, 1].map((hour) => closingJudgement(window_s - 3600 * hour)),
    );
    const finding = await addFinding(database, 1);
    await addFinding(database, 2, { condition: 'starving', causes: ['missing-refrigerant'] });
    reader = await addPerson(database, 'reader');
    await database.query(
      `insert into decision (finding_id, unit_id, kind, person_id, version, document, finding) values ($1, 1, 'close', $2, 1,
         '{"kind": "close", "seen": {"kind": "cause", "cause": "valve-friction"}, "done": "Valve, \\"new\\"", "parts": [], "readings": []}',
         '{"condition": "hunting", "urgency": "this-week", "certainty": "likely", "said": {"cause": "valve-friction", "weight": 0.7}}')`,
      [finding, reader.id],
    );
    ({ running, base } = await startApi(url));
    folder = await temporaryFolder('take-away');
    duck = await (await DuckDBInstance.create(':memory:', { threads: '1' })).connect();
    await duck.run(`set timezone = 'UTC'`);
  });
  afterAll(async () => {
    duck?.closeSync();
    await running?.stop();
    await database?.close();
    await server?.stop();
    if (folder !== undefined) await rm(folder, { recursive: true, force: true });
  });

  const rowsOf = async (sql: string): Promise<Row[]> =>
    (await (await duck.runAndReadAll(sql)).getRowObjectsJson()) as Row[];
  const pathOf = (file: string) => join(folder, file);

  /** Asks for a table and keeps what is answered. */
  async function take(file: string, query: Record<string, string> = {}, who = reader): Promise<string> {
    const response = await fetch(
      `${base}/api/export/${file}?${new URLSearchParams({ ...span, ...query }).toString()}`,
      {
        headers: await who.headers(),
      },
    );
    expect(response.status, file).toBe(200);
    const path = pathOf(`${Object.values(query).join('-').replace('/', '-')}${file}`);
    await writeFile(path, Buffer.from(await response.arrayBuffer()));
    return path;
  }
  const stored = async (sql: string): Promise<Row> => (await database.query<Row>(sql)).rows[0];

  it('holds every reading, with its nulls, its instants and the digits that it has', async () => {
    const path = await take('readings.parquet');
    const [found] = await rowsOf(
      `select count(*)::int as n, count(valve_opening_2_pct)::int as second, count(liquid_temperature_k)::int as liquid,
              sum(suction_pressure_pa::double) as pressure, sum(superheat_k::double) as superheat,
              epoch(min(time)) as first_s, epoch(max(time)) as last_s, count(distinct (site, unit, circuit))::int as circuits
         from '${path}'`,
    );
    expect(found).toEqual(
      await stored(
        `select count(*)::int as n, count(valve_opening_2_pct)::int as second, count(liquid_temperature_k)::int as liquid,
                sum(suction_pressure_pa::float8) as pressure, sum(superheat_k::float8) as superheat,
                extract(epoch from min(time))::float8 as first_s, extract(epoch from max(time))::float8 as last_s,
                count(distinct circuit_id)::int as circuits from reading`,
      ),
    );
    expect(found.n).toBe(plan.units * 2 * 720);
    const types = Object.fromEntries(
      (await rowsOf(`describe select * from '${path}'`)).map((row) => [row.column_name, row.column_type]),
    );
    expect(types).toMatchObject({ site: 'VARCHAR', circuit: 'INTEGER', superheat_k: 'FLOAT' });
    expect(types.time).toBe('TIMESTAMP WITH TIME ZONE');
    // Each in its place: one circuit in time order, value by value.
    const one = await rowsOf(
      `select epoch(time) as s, suction_temperature_k as t, liquid_temperature_k as l from '${path}'
        where site = 'site-2' and unit = 'unit-2' and circuit = 2`,
    );
    const { rows } = await database.query<Row>(
      `select extract(epoch from time)::float8 as s, suction_temperature_k as t, liquid_temperature_k as l from reading
        where circuit_id = 4 order by time`,
    );
    expect(
      one.map(({ s, t, l }) => [s, Math.fround(t as number), l === null ? null : Math.fround(l as number)]),
    ).toEqual(
      rows.map(({ s, t, l }) => [s, Math.fround(t as number), l === null ? null : Math.fround(l as number)]),
    );
  });

  it('is the same as CSV, to the 7 digits of telemetry', async () => {
    const [csv, parquet] = [await take('readings.csv'), await take('readings.parquet')];
    const figures = (path: string) =>
      rowsOf(
        `select count(*)::int as n, count(liquid_temperature_k)::int as liquid, epoch(max(time::timestamptz)) as last_s,
                round(sum(suction_pressure_pa::double) / 1e6, 3) as pressure, round(sum(superheat_k::double), 1) as superheat
           from '${path}'`,
      );
    expect(await figures(csv)).toEqual(await figures(parquet));
  });

  it('is every table, in both formats, with the columns of the dictionary and as many rows as there are', async () => {
    const expected: Record<string, string> = {
      circuits: 'select count(*)::int as n from circuit',
      readings: 'select count(*)::int as n from reading',
      'water-readings': 'select count(*)::int as n from water_reading',
      'condenser-readings': 'select count(*)::int as n from condenser_reading',
      'module-readings': 'select count(*)::int as n from backup_reading',
      'circuit-days': 'select count(*)::int as n from circuit_day',
      closings: 'select 2 as n',
      findings: 'select count(*)::int as n from finding',
      decisions: 'select count(*)::int as n from decision',
      'circuit-study': 'select count(*)::int as n from circuit',
      'module-study': 'select 0 as n',
    };
    expect(datasets.map(({ name }) => name).sort()).toEqual([...Object.keys(expected), 'windows'].sort());
    const { rows: packed } = await database.query<{ windows: Buffer }>('select windows from circuit_day');
    const windows = packed.reduce((sum, day) => sum + unpackWindows(day.windows).length, 0);
    expect(windows).toBeGreaterThan(plan.units * 2 * 12);
    for (const { name, columns } of datasets)
      for (const format of ['parquet', 'csv']) {
        const path = await take(`${name}.${format}`);
        const from = format === 'csv' ? `read_csv('${path}', header = true)` : `'${path}'`;
        const described = await rowsOf(`describe select * from ${from}`);
        expect(
          described.map((row) => row.column_name),
          path,
        ).toEqual(columns.map((column) => column.name));
        const [{ n }] = await rowsOf(`select count(*)::int as n from ${from}`);
        expect(n, path).toBe(name === 'windows' ? windows : (await stored(expected[name])).n);
      }
  });

  it('keeps what was judged, found and decided', async () => {
    const [closing] = await rowsOf(`select * from '${await take('closings.parquet')}' order by time desc`);
    expect(closing).toMatchObject({
      site: 'site-1',
      unit: 'unit-1',
      module: 1,
      kind: 'self-test',
      shut: true,
    });
    expect(closing.capacitance_f).toBe(closingJudgement(0).capacitance_F);
    const [decision] = await rowsOf(`select * from '${await take('decisions.csv')}'`);
    expect(decision).toMatchObject({
      kind: 'close',
      words: 'Valve, "new"',
      seen_cause: 'valve-friction',
      said_weight: 0.7,
    });
    const [window] = await rowsOf(
      `select sum(hunting_min) as hunting, bool_or(oscillates) as any from '${await take('windows.parquet')}'`,
    );
    // Of the twenty kinds of circuits that are seeded the first and the eleventh hunt; these eight are the second to ninth.
    expect(window).toMatchObject({ hunting: 0, any: false });
    const module = await rowsOf(
      `select mains, health, count(*)::int as n from '${await take('module-readings.parquet')}' group by all order by mains`,
    );
    expect(module).toEqual([
      { mains: false, health: null, n: 6 },
      { mains: true, health: null, n: 54 },
    ]);
  });

  it('is the answer to a question of the study too, typed, with the same rows as its CSV', async () => {
    const day = (ago: number) => new Date((window_s - ago * 86_400) * 1000).toISOString().slice(0, 10);
    const query = new URLSearchParams({
      quantity: 'superheatMean_K',
      days: '3',
      split: 'climate',
      to: day(0),
    });
    const paths: string[] = [];
    for (const format of ['parquet', 'csv']) {
      const response = await fetch(`${base}/api/study/answer.${format}?${query.toString()}`, {
        headers: await reader.headers(),
      });
      expect(response.status, format).toBe(200);
      paths.push(pathOf(`answer.${format}`));
      await writeFile(paths.at(-1)!, Buffer.from(await response.arrayBuffer()));
    }
    const rows = (path: string) =>
      rowsOf(`select * replace (epoch("from"::timestamptz) as "from", epoch("to"::timestamptz) as "to")
                from '${path}' order by site, unit, circuit, "from"`);
    const [typed, text] = [await rows(paths[0]), await rows(paths[1])];
    expect(typed.length).toBeGreaterThanOrEqual(plan.units * 2);
    expect(typed.map((row) => Object.values(row).map((cell) => (cell === null ? '' : String(cell))))).toEqual(
      text.map((row) => Object.values(row).map((cell) => (cell === null ? '' : String(cell)))),
    );
    const types = await rowsOf(`describe select * from '${paths[0]}'`);
    expect(types.find((row) => row.column_name === 'from')?.column_type).toBe('TIMESTAMP WITH TIME ZONE');
    expect(types.find((row) => row.column_name === 'superheatMean_K')?.column_type).toMatch(/DOUBLE|INTEGER/);
  });

  it('answers the query of the notebook page', async () => {
    const page = readFileSync(new URL('../../docs/notebook.md', import.meta.url), 'utf8');
    const [, query] = /```sql\n([^`]+)```/.exec(page)!;
    const [days, circuits] = [await take('circuit-days.parquet'), await take('circuits.parquet')];
    const found = await rowsOf(
      query.replace(`'circuit-days.parquet'`, `'${days}'`).replace(`'circuits.parquet'`, `'${circuits}'`),
    );
    expect(found).toEqual([
      { valve_size: 'kv-1', circuits: String(plan.units * 2), hunting_fraction: 0, reversals_a_day: 500 },
    ]);
  });

  it('is written by the command, for one unit too', async () => {
    vi.stubEnv('DATABASE_URL', url);
    const said = vi.spyOn(process.stdout, 'write').mockImplementation(() => true);
    const complained = vi.spyOn(console, 'error').mockImplementation(() => {});
    const times = ['--from', span.from, '--to', span.to];
    try {
      const path = pathOf('one.parquet');
      const unit = ['--unit', 'site-1/unit-1'];
      expect(await runCommand(['export', 'readings', ...times, ...unit, '--out', path])).toBe(0);
      expect(said.mock.calls.join('')).toContain(`1440 rows written to ${path}.`);
      expect(await rowsOf(`select distinct site, unit from '${path}'`)).toEqual([
        { site: 'site-1', unit: 'unit-1' },
      ]);
      const csv = pathOf('site.csv');
      const site = ['--site', 'site-2', '--format', 'csv'];
      expect(await runCommand(['export', 'circuits', ...times, ...site, '--out', csv])).toBe(0);
      expect(await rowsOf(`select count(*)::int as n from '${csv}'`)).toEqual([{ n: 4 }]);
      expect(await runCommand(['export', 'nothing'])).toBe(1);
      expect(complained.mock.calls.join('')).toMatch(/no table nothing\. There are circuits, readings,/);
      expect(await runCommand(['export', 'readings', '--unit', 'site-1/unit-9'])).toBe(1);
      expect(await runCommand(['export', 'windows', '--out', pathOf('no/such/folder/x.csv')])).toBe(1);
    } finally {
      said.mockRestore();
      complained.mockRestore();
      vi.unstubAllEnvs();
    }
  });

  it('holds nothing of sites that its reader may not see, and refuses what there is not', async () => {
    const limited = await addPerson(database, 'engineer', ['site-2']);
    for (const { name } of datasets) {
      const path = await take(`${name}.parquet`, {}, limited);
      const seen = await rowsOf(`select distinct site from '${path}' where site <> 'site-2'`);
      expect(seen, name).toEqual([]);
    }
    const status = async (file: string) =>
      (await fetch(`${base}/api/export/${file}`, { headers: await limited.headers() })).status;
    expect(await status('readings.parquet?unit=site-1/unit-1')).toBe(404);
    expect(await status('readings.parquet?site=site-1')).toBe(404);
    expect(await status('readings.parquet?unit=site-2/unit-2')).toBe(200);
    expect(await status('nothing.parquet')).toBe(404);
    expect(await status('readings.xlsx')).toBe(400);
    expect(await status('readings.csv?from=2026-01-02T00:00:00Z&to=2026-01-01T00:00:00Z')).toBe(400);
  });

  it('lets go of the database when whoever asked leaves in the middle', async () => {
    for (let n = 0; n < 15; n++) {
      const leaving = new AbortController();
      const query = new URLSearchParams(span).toString();
      const response = await fetch(`${base}/api/export/readings.csv?${query}`, {
        ...{ headers: await reader.headers(), signal: leaving.signal },
      });
      if (response.status === 200) await response.body!.getReader().read();
      leaving.abort();
    }
    await until('a whole export', async () => {
      const response = await fetch(`${base}/api/export/circuits.csv`, { headers: await reader.headers() });
      await response.arrayBuffer();
      return response.status === 200;
    });
    await until(
      'no copy to be left',
      async () =>
        (
          await stored(
            `select count(*)::int as n from pg_stat_activity where datname = current_database() and query like 'copy (select%' and state <> 'idle'`,
          )
        ).n === 0,
    );
  });
});
