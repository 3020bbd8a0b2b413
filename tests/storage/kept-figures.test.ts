import { blockDays, blockOf, dayColumns, daySummary, type DayColumn } from '@coldrounds/core';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import {
  applyRetention,
  PartitionKeeper,
  weeksOf,
  type Database,
} from '../../backend/server/src/storage/index.js';
import {
  DailyFiguresRepository,
  writeDailyFigures,
} from '../../backend/server/src/storage/repositories/results/daily-figures.repository.js';
import { KeptFigures, type FigurePieces } from '../../backend/server/src/study/figures/kept-figures.js';
import { type DatabaseServer, openMigrated, startDatabaseServer } from '../support/store/database.js';

const day_s = 86_400;
const first_s = blockOf(Date.UTC(2026, 3, 1) / 1000);
const later_s = first_s + blockDays * day_s;
const circuits = [3, 8, 9, 700];

/** Counts what is read from the database. */
class CountedFigures extends DailyFiguresRepository {
  pieceReads = 0;
  rowReads = 0;

  override async *pieces(...asked: Parameters<DailyFiguresRepository['pieces']>) {
    this.pieceReads++;
    yield* super.pieces(...asked);
  }
  override async *writtenSince(...asked: Parameters<DailyFiguresRepository['writtenSince']>) {
    for await (const row of super.writtenSince(...asked)) {
      this.rowReads++;
      yield row;
    }
  }
}

describe('daily figures that are kept in memory', () => {
  let server: DatabaseServer;
  let database: Database;
  let repository: CountedFigures;

  beforeEach(async () => {
    server = await startDatabaseServer();
    database = await openMigrated(await server.newDatabase());
    repository = new CountedFigures(database);
    await database.query(
      `with s as (insert into site (key, name, altitude_m, latitude_deg, longitude_deg, time_zone, climate)
         values ('s', 's', 0, 45, 9, 'Europe/Rome', 'mild') returning id),
       u as (insert into unit (site_id, key, name, refrigerant, nominal_capacity_w, condenser, commissioned_on, controller_firmware)
         select id, 'u', 'u', 'R134a', 100000, 'air', '2023-04-01', '3.0' from s returning id)
       insert into circuit (id, unit_id, number, entry) overriding system value
       select c, u.id, c, '{}' from u, unnest($1::int[]) as c`,
      [circuits],
    );
    await new PartitionKeeper(database.pool).ensure(
      'daily_figures',
      weeksOf([first_s * 1000, later_s * 1000]),
    );
    await write(circuits, first_s, 1);
    await write(circuits, later_s, 2);
  }, 120_000);
  afterEach(async () => {
    await database?.close();
    await server?.stop();
  });

  const summary = (value: number) => ({
    ...daySummary([]),
    ...Object.fromEntries(dayColumns.map((name, at) => [name, value + at / 100])),
  });
  const write = (ids: readonly number[], time_s: number, value: number) =>
    database.transaction((client) =>
      writeDailyFigures(
        client,
        ids.map((circuitId) => ({ circuitId, day_s: time_s, summary: summary(value + circuitId) })),
      ),
    );

  /** Every known figure of the circuits asked for, by circuit and day. */
  async function figures(
    of: FigurePieces,
    from_s: number,
    columns: readonly DayColumn[],
    only: number[] | null = null,
  ) {
    const found = new Map<string, number[]>();
    for await (const { circuitIds, columns: values } of of.pieces(from_s, columns, only))
      circuitIds.forEach((id, row) => {
        if (only !== null && !only.includes(id)) return;
        for (let day = 0; day < blockDays; day++) {
          const own = columns.map((name) => values[name]![row * blockDays + day]!);
          if (own.some((value) => !Number.isNaN(value))) found.set(`${id} ${day}`, own);
        }
      });
    return new Map([...found].sort(([a], [b]) => a.localeCompare(b, 'en', { numeric: true })));
  }
  const two: DayColumn[] = ['runningMinutes', 'huntingMinutes'];
  async function agree(kept: KeptFigures, columns: readonly DayColumn[] = two, only: number[] | null = null) {
    for (const from_s of [first_s, later_s]) {
      const direct = await figures(new DailyFiguresRepository(database), from_s, columns, only);
      expect(await figures(kept, from_s, columns, only)).toEqual(direct);
    }
  }

  it('are those of the database, whatever is written and whatever is asked for first', async () => {
    const kept = new KeptFigures(repository, 1e6);
    await agree(kept);
    expect((await figures(kept, first_s, two)).size).toBe(circuits.length);
    await write([8, 700], first_s + 3 * day_s, 50);
    await agree(kept);
    await agree(kept, ['ambientTemperature_K', ...two]);
    await write([9], later_s, 70);
    await database.query(
      `insert into circuit (id, unit_id, number, entry) overriding system value select 12, min(id), 12, '{}' from unit`,
    );
    await write([12], later_s + day_s, 80);
    await agree(kept);
    await agree(kept, ['ambientTemperature_K', ...two], [9, 12]);
    expect((await figures(kept, later_s, two)).get('12 1')![0]).toBeCloseTo(92, 4);
  });

  it('see what was being written while they were read, once it is committed', async () => {
    const kept = new KeptFigures(repository, 1e6);
    const client = await database.pool.connect();
    await client.query('begin');
    await writeDailyFigures(client, [{ circuitId: 3, day_s: first_s, summary: summary(1000) }]);
    await agree(kept);
    // Later transactions are committed first.
    await write([8], first_s, 500);
    await agree(kept);
    await client.query('commit');
    client.release();
    await agree(kept);
    expect((await figures(kept, first_s, ['runningMinutes'])).get('3 0')).toEqual([1000]);
  });

  it('are not read again, and of what was written since its rows alone', async () => {
    const kept = new KeptFigures(repository, 1e6);
    await agree(kept);
    expect(repository.pieceReads).toBe(2);
    await agree(kept);
    expect(repository.rowReads).toBe(0);
    await write([700], later_s, 9);
    await agree(kept);
    await agree(kept);
    expect({ pieces: repository.pieceReads, rows: repository.rowReads }).toEqual({ pieces: 2, rows: 1 });
  });

  it('stay within their bound, and are right beyond it', async () => {
    // One column of four circuits takes 448 bytes, with room for some more.
    const kept = new KeptFigures(repository, 3 * 480);
    await agree(kept);
    await agree(kept, dayColumns);
    await write([3], first_s, 77);
    await agree(kept, dayColumns);
    const before = repository.pieceReads;
    await agree(kept);
    // Three of the four columns of two times four weeks are kept.
    expect(repository.pieceReads - before).toBe(1);
    const nothing = new KeptFigures(repository, 0);
    await agree(nothing, dayColumns);
  });

  it('make room once they have not been used for long', async () => {
    let now_s = 0;
    const kept = new KeptFigures(repository, 2 * 480, () => now_s);
    await figures(kept, first_s, two);
    await figures(kept, later_s, two);
    const reads = async (from_s: number) => {
      const before = repository.pieceReads;
      await figures(kept, from_s, two);
      return repository.pieceReads - before;
    };
    expect([await reads(first_s), await reads(later_s)]).toEqual([0, 1]);
    now_s = 3600;
    expect(await reads(later_s)).toBe(1);
    expect([await reads(later_s), await reads(first_s)]).toEqual([0, 1]);
  });

  it('are read ahead so that a question needs nothing but what was written since', async () => {
    const kept = new KeptFigures(repository, 1e6);
    await kept.readAhead(60, later_s, () => Promise.resolve(true));
    const before = repository.pieceReads;
    await agree(kept, dayColumns);
    expect(repository.pieceReads).toBe(before);
  });

  it('go with the retention', async () => {
    const kept = new KeptFigures(repository, 1e6);
    await agree(kept);
    await applyRetention(
      database.pool,
      { readings_days: null, results_days: 1, unreadMessages_days: null },
      new Date(1000 * (later_s + 2 * day_s)),
    );
    expect((await figures(kept, first_s, two)).size).toBe(0);
    await agree(kept);
    expect((await figures(kept, later_s, two)).size).toBe(circuits.length);
  });
});
