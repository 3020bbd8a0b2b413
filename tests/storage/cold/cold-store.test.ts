import { DuckDBInstance } from '@duckdb/node-api';
import { readFile } from 'node:fs/promises';
import { afterAll, afterEach, beforeAll, beforeEach, describe, expect, it } from 'vitest';
import {
  type Database,
  emptyBatch,
  IngestRepository,
  PartitionKeeper,
  weeksOf,
} from '../../../backend/server/src/storage/index.js';
import { RejudgeRepository } from '../../../backend/server/src/storage/assessment/rejudge.repository.js';
import { Reconverter } from '../../../backend/server/src/assessment/reconverter.js';
import { ColdReader } from '../../../backend/server/src/storage/cold/cold-reader.js';
import type { MoveStep } from '../../../backend/server/src/storage/cold/moving/move-month.js';
import { ColdRecall } from '../../../backend/server/src/storage/cold/recall.js';
import type { FactsTimeline } from '../../../backend/server/src/storage/fleet.js';
import { FactsRepository } from '../../../backend/server/src/storage/registry/facts.repository.js';
import { ReadingRepository } from '../../../backend/server/src/storage/repositories/readings/reading.repository.js';
import { StateRepository } from '../../../backend/server/src/storage/repositories/results/state.repository.js';
import { readingColumns } from '../../../backend/server/src/storage/taking-away/copied-readings.js';
import { TakenRepository } from '../../../backend/server/src/storage/taking-away/taken.repository.js';
import { readingTable } from '../../../backend/server/src/storage/schema/telemetry-tables.js';
import { type DatabaseServer, openMigrated, startDatabaseServer } from '../../support/store/database.js';
import { seedFleet } from '../../support/store/fleet.js';
import {
  allThatIsRead,
  coldRows,
  day_s,
  drawnRows,
  first_s,
  hotRows,
  now,
  now_s,
  openStore,
  storeDrawn,
  type OpenStore,
} from './cold-case.js';

describe('the cold store in a folder', () => {
  let server: DatabaseServer;
  let database: Database;
  let cold: OpenStore;
  beforeAll(async () => {
    server = await startDatabaseServer();
  });
  afterAll(() => server?.stop());
  beforeEach(async () => {
    database = await openMigrated(await server.newDatabase());
    await seedFleet(database, 1, 2);
    await storeDrawn(database);
    cold = await openStore(database);
  });
  afterEach(async () => {
    await cold.close();
    await database.close();
  });

  const files = async () => (await cold.place.names()).filter((name) => name.endsWith('.parquet')).sort();

  it('has whole weeks past the setting by month and site, out of PostgreSQL, and all reads the same as before', async () => {
    const before = await allThatIsRead(database, cold.store);
    const rows = await hotRows(database);
    await cold.move();
    // 35 days before the 19th of November is the 15th of October, a Thursday.
    const { rows: left } = await database.query<{ first: Date }>('select min(time) as first from reading');
    expect(left[0].first.toISOString().slice(0, 10)).toBe('2026-10-15');
    expect(await hotRows(database)).toBeLessThan(0.8 * rows);
    expect((await hotRows(database)) + (await coldRows(database))).toBe(rows);
    expect(await files()).toEqual(
      ['condenser-readings', 'module-readings', 'readings', 'water-readings'].flatMap((folder) => [
        ...(first_s < Date.UTC(2026, 9) / 1000 ? [`${folder}/2026-09/harbour.parquet`] : []),
        `${folder}/2026-10/harbour.parquet`,
      ]),
    );
    const { rows: parts } = await database.query<{ n: number }>(
      `select count(*)::int as n from pg_inherits where inhparent = 'reading'::regclass`,
    );
    expect(parts[0].n).toBe(5);
    expect(await allThatIsRead(database, cold.store)).toEqual(before);
    expect((await new StateRepository(database).counts()).oldest?.getTime()).toBeLessThan(
      (first_s + day_s) * 1000,
    );
    // Once more changes nothing.
    expect(await cold.move()).toEqual({ rows: 0, dropped: [] });
  });

  it('loses and doubles nothing, wherever a move ends', async () => {
    const before = await allThatIsRead(database, cold.store);
    const rows = await hotRows(database);
    const steps: MoveStep[] = ['staged', 'written', 'placed', 'recorded', 'committed', 'settled'];
    for (const step of steps) {
      const end = (reached: MoveStep) => {
        if (reached === step) throw new Error(`ended at ${step}`);
      };
      await expect(cold.move({ reached: end })).rejects.toThrow(`ended at ${step}`);
      expect((await hotRows(database)) + (await coldRows(database)), step).toBe(rows);
      expect(await allThatIsRead(database, cold.store), step).toEqual(before);
    }
    await cold.move();
    expect((await hotRows(database)) + (await coldRows(database))).toBe(rows);
    expect(await allThatIsRead(database, cold.store)).toEqual(before);
    expect((await cold.place.names()).filter((name) => name.includes('unfinished'))).toEqual([]);
  });

  it('has a large site’s month in several files, each circuit in one of them, and all reads the same', async () => {
    const before = await allThatIsRead(database, cold.store);
    const rows = await hotRows(database);
    // A circuit has some 680 readings in a month of one an hour with gaps.
    const most_rows = 800;
    const steps: MoveStep[] = ['staged', 'placed', 'recorded', 'committed'];
    for (const [at, step] of steps.entries()) {
      let times = 0;
      const end = (reached: MoveStep) => {
        if (reached === step && ++times === 1 + (at % 2)) throw new Error(`ended at ${step}`);
      };
      await expect(cold.move({ reached: end, most_rows })).rejects.toThrow(`ended at ${step}`);
      expect((await hotRows(database)) + (await coldRows(database)), step).toBe(rows);
      expect(await allThatIsRead(database, cold.store), step).toEqual(before);
    }
    await cold.move({ most_rows });
    expect(await allThatIsRead(database, cold.store)).toEqual(before);
    expect((await files()).filter((name) => name.startsWith('readings/2026-10'))).toEqual([
      'readings/2026-10/harbour.2.parquet',
      'readings/2026-10/harbour.parquet',
    ]);
    const parts = async () =>
      (
        await database.query<{ files: number; owners: number[]; rows: number }>(
          `select count(distinct f.number)::int as files, array_agg(distinct p.owner_id) as owners, sum(p.rows)::int as rows
             from cold_part p join cold_file f on f.id = p.file_id where p.table_name = 'reading' and month = '2026-10-01'
            group by f.id order by min(f.number)`,
        )
      ).rows;
    expect((await parts()).map(({ owners }) => owners)).toEqual([[1], [2]]);
    for (const { rows: own } of await parts()) expect(own).toBeLessThan(most_rows);
    // What comes late goes into the circuit's own file, whatever the bound is by then.
    const time = new Date((first_s + 20 * day_s) * 1000 + 950);
    await new PartitionKeeper(database.pool).ensure('reading', weeksOf([time.getTime()]));
    await database.query('insert into reading (circuit_id, time, superheat_k) values (2, $1, 6)', [time]);
    const all = await allThatIsRead(database, cold.store);
    await cold.move();
    expect(await allThatIsRead(database, cold.store)).toEqual(all);
    expect((await parts()).map(({ owners }) => owners)).toEqual([[1], [2]]);
    expect((await hotRows(database)) + (await coldRows(database))).toBe(rows + 1);
    // A notebook that reads the whole folder has each time of a circuit once.
    const connection = await (await DuckDBInstance.create(':memory:')).connect();
    const [found] = (
      await connection.runAndReadAll(
        `select count(*)::int as n, count(distinct (circuit_id, time))::int as times
           from read_parquet('${cold.folder}/readings/*/harbour.*parquet')`,
      )
    ).getRowObjectsJson();
    connection.closeSync();
    expect(found).toEqual({ n: await coldRows(database), times: await coldRows(database) });
  });

  it('takes late readings of a moved day: new ones are read with the others, repeats change nothing', async () => {
    await cold.move();
    const readings = new ReadingRepository(database, cold.store.reader);
    const span = [first_s + 7 * day_s, first_s + 9 * day_s] as const;
    const before = await readings.circuitSeries(1, ...span);
    const sent = drawnRows(readingTable, 1, 3600, first_s, now_s);
    const repeated = {
      ...{ ownerId: 1, length: 280, time_ms: sent.time_ms.subarray(0, 280) },
      columns: sent.columns.map((values) => values.subarray(0, 280)),
    };
    const late = {
      ownerId: 1,
      length: 1,
      time_ms: Float64Array.of((first_s + 8 * day_s + 0.95) * 1000),
      columns: readingTable.columns.map((_, at) => Float64Array.of(270 + at)),
    };
    await new IngestRepository(database.pool).write({ ...emptyBatch(), readings: [repeated, late] });
    const after = await readings.circuitSeries(1, ...span);
    expect(after.time_s.length).toBe(before.time_s.length + 1);
    const at = after.time_s.indexOf(first_s + 8 * day_s + 0.95);
    expect(after.suctionTemperature_K[at]).toBe(271);
    const without = (values: Float64Array) => values.filter((_, row) => row !== at);
    expect(without(after.time_s)).toEqual(before.time_s);
    expect(without(after.suctionPressure_Pa)).toEqual(before.suctionPressure_Pa);
    const all = await allThatIsRead(database, cold.store);
    const moved = await coldRows(database);
    await cold.move();
    expect(await coldRows(database)).toBe(moved + 1);
    expect(await allThatIsRead(database, cold.store)).toEqual(all);
  });

  it('fills what a moved reading lacked from a late one, and keeps what it had', async () => {
    await database.query('delete from reading');
    const time = new Date((first_s + day_s) * 1000);
    await database.query(
      'insert into reading (circuit_id, time, suction_temperature_k, compressor_load_pct) values (1, $1, 280.5, 70)',
      [time],
    );
    await cold.move();
    await new PartitionKeeper(database.pool).ensure('reading', weeksOf([time.getTime()]));
    await database.query(
      `insert into reading (circuit_id, time, suction_temperature_k, suction_saturation_k, valve_opening_pct)
       values (1, $1, 290, 274.25, 42)`,
      [time],
    );
    for (const moved of [false, true]) {
      if (moved) await cold.move();
      const [row] = await new ReadingRepository(database, cold.store.reader).latest([1]);
      expect(row).toMatchObject({
        suctionTemperature_K: 280.5,
        valveOpening_pct: 42,
        compressorLoad_pct: 70,
      });
      expect(await superheat()).toEqual([6.25]);
    }
  });

  async function superheat() {
    const at = readingColumns(readingTable).indexOf('superheat_k');
    const taken: number[] = [];
    const blocks = new TakenRepository(database, cold.store.reader).readings('reading', 1, {
      from_s: first_s,
      to_s: now_s,
    });
    for await (const block of blocks) taken.push(...block.columns[at]);
    return taken;
  }

  it('begins again where a reading changes while it is moved', async () => {
    let changed = 0;
    await cold.move({
      reached: async (step) => {
        if (step !== 'staged' || changed > 0) return;
        const { rowCount } = await database.query(
          `update reading set superheat_k = 7.5
            where circuit_id = 1 and time = (select min(time) from reading where circuit_id = 1)`,
        );
        changed += rowCount ?? 0;
      },
    });
    expect(changed).toBe(1);
    expect((await superheat())[0]).toBe(7.5);
    expect(await hotRows(database)).toBeGreaterThan(0);
  });

  it('takes a circuit back to have its pressures converted anew, and moves it again', async () => {
    await cold.move();
    const facts = new FactsRepository(database, cold.store.recall);
    const read = () => new ReadingRepository(database, cold.store.reader).circuitSeries(1, first_s, now_s);
    const before = await read();
    const rows = (await hotRows(database)) + (await coldRows(database));
    await facts.bringBack(1, 0, 100);
    await database.transaction(async (client) => {
      const { time_s, suctionPressure_Pa, dischargePressure_Pa } = await facts.pressures(client, 1, 0, 100);
      expect(time_s).toEqual(before.time_s.subarray(0, 100));
      expect(suctionPressure_Pa.map(Math.fround)).toEqual(before.suctionPressure_Pa.subarray(0, 100));
      await facts.writePressures(client, 1, time_s, {
        suctionPressure_Pa: suctionPressure_Pa.map((pressure) => Math.fround(pressure) + 1000),
        dischargePressure_Pa,
        suctionSaturation_K: time_s.map(() => 270),
        dischargeSaturation_K: time_s.map(() => 310),
      });
    });
    const wanted = before.suctionPressure_Pa.map((pressure, row) =>
      row < 100 ? Math.fround(pressure + 1000) : pressure,
    );
    expect((await read()).suctionPressure_Pa).toEqual(wanted);
    await cold.move();
    expect((await read()).suctionPressure_Pa).toEqual(wanted);
    expect((await hotRows(database)) + (await coldRows(database))).toBe(rows);
  });

  it('stores telemetry while months are taken back, and converts all of them, each reading once', async () => {
    await cold.move();
    const all = await new ReadingRepository(database, cold.store.reader).circuitSeries(1, first_s, now_s);
    const before: FactsTimeline = [{ until_s: null, facts: (await facts().now(1)).facts }];
    await database.query(
      `update circuit set entry = jsonb_set(entry, '{dischargePressure,reference}', '"gauge"') where id = 1`,
    );
    await database.transaction((client) => facts().askFor(client, 1, first_s, before));
    const stored: number[] = [];
    const reader = new HeldReader(cold.store.reader, async () => {
      const time_ms = Float64Array.of((now_s + stored.length) * 1000);
      await new IngestRepository(database.pool).write(
        {
          ...emptyBatch(),
          readings: [
            { ownerId: 2, length: 1, time_ms, columns: readingTable.columns.map(() => Float64Array.of(280)) },
          ],
        },
        await registryVersion(),
      );
      stored.push(time_ms[0]);
    });
    const reconverter = new Reconverter(
      {
        facts: new FactsRepository(database, new ColdRecall(database.pool, reader)),
        rejudge: new RejudgeRepository(database),
        changed: async () => {},
      },
      150,
    );
    const rows = (await hotRows(database)) + (await coldRows(database));
    // A move meanwhile leaves the site as it is.
    const first = await reconverter.step();
    const between = await hotRows(database);
    await cold.move();
    expect(await hotRows(database)).toBe(between);
    let steps = Number(first);
    while (await reconverter.step()) steps++;
    expect(steps).toBeGreaterThan(4);
    // Each of the two months let a reading in while it was taken back.
    expect(stored).toHaveLength(2);
    expect((await hotRows(database)) + (await coldRows(database))).toBe(rows + 2);
    const after = await new ReadingRepository(database, cold.store.reader).circuitSeries(1, first_s, now_s);
    expect(after.time_s).toEqual(all.time_s);
    // Gauge readings are over the standard atmosphere, 101,325 Pa.
    after.dischargePressure_Pa.forEach((pressure, row) => {
      if (Number.isNaN(all.dischargePressure_Pa[row])) expect(pressure).toBeNaN();
      else expect(pressure).toBeCloseTo(all.dischargePressure_Pa[row] + 101_325, -1);
    });
    await cold.move();
    expect((await hotRows(database)) + (await coldRows(database))).toBe(rows + 2);
  });

  const facts = () => new FactsRepository(database, cold.store.recall);
  const registryVersion = async () =>
    (await database.query<{ version: number }>('select version from registry_version')).rows[0].version;

  /** Does something else each time before it reads. */
  class HeldReader extends ColdReader {
    constructor(
      private readonly reader: ColdReader,
      private readonly meanwhile: () => Promise<void>,
    ) {
      super({} as ConstructorParameters<typeof ColdReader>[0]);
    }

    override async samples(...asked: Parameters<ColdReader['samples']>) {
      await this.meanwhile();
      return this.reader.samples(...asked);
    }
  }

  it('lets windows of moved readings be judged again', async () => {
    const start = new Date((first_s + 2 * day_s) * 1000);
    await database.query(
      `insert into not_judged (kind, owner_id, starts_at, reason) values ('window', 1, $1, 'A reason.')`,
      [start],
    );
    await cold.move();
    expect(await new RejudgeRepository(database).mark()).toBe(1);
  });

  it('removes files of months that ended before the retention, and leaves the others', async () => {
    await cold.move();
    const had = await files();
    // The 60th day after the end of September.
    await cold.move({ at: new Date('2026-11-30T00:00:00Z'), retention_days: 60 });
    expect(await files()).toEqual(had.filter((name) => !name.includes('/2026-09/')));
    const { rows } = await database.query<{ n: number }>(
      `select count(*)::int as n from cold_part where first_at < '2026-10-01T00:00:00Z'`,
    );
    expect(rows[0].n).toBe(0);
  });

  it('is read by the query of docs/cold-store.md, which sees the rows that were moved', async () => {
    await cold.move();
    const page = await readFile(new URL('../../../docs/cold-store.md', import.meta.url), 'utf8');
    const query = /```sql\n([\s\S]*?)```/.exec(page)![1].replace(`'readings/`, `'${cold.folder}/readings/`);
    const connection = await (await DuckDBInstance.create(':memory:')).connect();
    const rows = (await connection.runAndReadAll(query)).getRowObjectsJson();
    connection.closeSync();
    // Two circuits in two months.
    expect(rows).toHaveLength(4);
    expect(rows[0]).toMatchObject({ site: 'harbour', unit: 'chiller-1', circuit: 1 });
    // All compressors of the drawn telemetry run where their load is there.
    const { compressorLoad_pct } = await new ReadingRepository(database, cold.store.reader).circuitSeries(
      ...([1, first_s, Date.UTC(2026, 9, 15) / 1000] as const),
    );
    const running = compressorLoad_pct.filter((load) => load > 0).length;
    expect(Number(rows[0].running_steps) + Number(rows[1].running_steps)).toBe(running);
  });

  it('refuses a folder that is another database’s', async () => {
    await cold.move();
    const other = await openMigrated(await server.newDatabase());
    const second = await openStore(other, cold.place);
    await expect(second.move()).rejects.toThrow('belongs to another database');
    await second.close();
    await other.close();
  });

  it('keeps a row that comes while a move is under way, and lets one of two moves work', async () => {
    let other: Promise<unknown> | undefined;
    const late = new Date((first_s + 3 * day_s + 777) * 1000);
    await cold.move({
      reached: async (step) => {
        if (step !== 'placed' || other) return;
        other = cold.move();
        await database.query('insert into reading (circuit_id, time, superheat_k) values (1, $1, 6)', [late]);
      },
    });
    expect(await other).toBeNull();
    await cold.move();
    const { time_s } = await new ReadingRepository(database, cold.store.reader).circuitSeries(
      1,
      late.getTime() / 1000,
      late.getTime() / 1000 + 1,
    );
    expect([...time_s]).toEqual([late.getTime() / 1000]);
    expect(now.getTime()).toBeGreaterThan(late.getTime());
  });
});
