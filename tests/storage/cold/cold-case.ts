import { seededRandom } from '@coldrounds/core/numerics';
import { rm } from 'node:fs/promises';
import { TakenRepository } from '../../../backend/server/src/storage/taking-away/taken.repository.js';
import { ColdStore } from '../../../backend/server/src/storage/cold/cold-store.js';
import type { ColdPlace } from '../../../backend/server/src/storage/cold/cold-place.js';
import { FolderPlace } from '../../../backend/server/src/storage/cold/folder-place.js';
import type { MoveStep } from '../../../backend/server/src/storage/cold/moving/move-month.js';
import { type Database, emptyBatch, IngestRepository } from '../../../backend/server/src/storage/index.js';
import { ReadingRepository } from '../../../backend/server/src/storage/repositories/readings/reading.repository.js';
import { SeriesRepository } from '../../../backend/server/src/storage/repositories/readings/series.repository.js';
import {
  telemetryTables,
  type TelemetryTable,
} from '../../../backend/server/src/storage/schema/telemetry-tables.js';
import { temporaryFolder } from '../../support/store/database.js';

export const day_s = 86_400;
/** A Thursday, on which weeks begin, in the middle of a month. */
export const now = new Date('2026-11-19T00:00:00Z');
export const now_s = now.getTime() / 1000;
/** Fifty days before `now` the telemetry begins: two months, and eight weeks. */
export const first_s = now_s - 50 * day_s;
export const after_days = 35;

/** Readings of an owner every `step_s` with gaps and missing values, by a fixed seed. */
export function drawnRows(
  table: TelemetryTable,
  ownerId: number,
  step_s: number,
  from_s: number,
  to_s: number,
) {
  const random = seededRandom(1000 + ownerId);
  const time_ms: number[] = [];
  for (let time_s = from_s; time_s < to_s; time_s += step_s)
    if (random() > 0.05) time_ms.push(time_s * 1000 + Math.floor(random() * 900));
  const columns = table.columns.map(({ type }) =>
    Float64Array.from(time_ms, () => {
      const draw = random();
      if (draw > 0.9) return NaN;
      return type === 'boolean' ? Number(draw > 0.1) : 280 + 10 * draw;
    }),
  );
  return { ownerId, length: time_ms.length, time_ms: Float64Array.from(time_ms), columns };
}

/** Fifty days of two circuits and of what belongs to their unit. */
export async function storeDrawn(database: Database, step_s = 3600): Promise<void> {
  const [reading, water, condenser, backup] = telemetryTables;
  const of = (table: TelemetryTable, ownerId: number) => drawnRows(table, ownerId, step_s, first_s, now_s);
  await new IngestRepository(database.pool).write({
    ...emptyBatch(),
    readings: [of(reading, 1), of(reading, 2)],
    waterReadings: [of(water, 1)],
    condenserReadings: [of(condenser, 1)],
    backupReadings: [of(backup, 1)],
  });
}

export interface OpenStore {
  store: ColdStore;
  place: ColdPlace;
  /** Of the files, where the place was not given. */
  folder: string;
  move: (options?: {
    reached?: (step: MoveStep) => void | Promise<void>;
    retention_days?: number | null;
    most_rows?: number;
    at?: Date;
  }) => Promise<unknown>;
  close: () => Promise<void>;
}

/** A cold store in a new folder, or in a place that is given. */
export async function openStore(database: Database, place?: ColdPlace): Promise<OpenStore> {
  const folder = await temporaryFolder('cold');
  const at = place ?? new FolderPlace(`${folder}/store`);
  const store = new ColdStore({ database, workFolder: folder, place: () => at });
  return {
    ...{ store, place: at, folder: `${folder}/store` },
    move: ({ reached, retention_days = null, most_rows, at = now } = {}) =>
      store.mover({ after_days, retention_days, most_rows, reached }).run(at),
    close: async () => {
      await store.close();
      await rm(folder, { recursive: true, force: true });
    },
  };
}

/** Everything that the rest of the program reads of the telemetry, from beginning to end. */
export async function allThatIsRead(database: Database, { reader }: ColdStore) {
  const readings = new ReadingRepository(database, reader);
  const series = new SeriesRepository(database, reader);
  const taken = new TakenRepository(database, reader);
  const [from_s, to_s] = [first_s + 3.5 * day_s, now_s];
  const exported: unknown[] = [];
  for (const { name } of telemetryTables)
    for await (const { time_s, columns } of taken.readings(name, 1, { from_s, to_s }))
      exported.push(
        ...Array.from(time_s, (time, row) => [name, time, ...columns.map((values) => values[row])]),
      );
  return {
    circuits: [
      await readings.circuitSeries(1, from_s, to_s),
      await readings.circuitSeries(2, first_s, to_s),
      await readings.circuitSeries(1, first_s + 4 * day_s, first_s + 4 * day_s + 7200),
    ],
    module: await readings.moduleReadings(1, from_s, to_s),
    withoutMains: await readings.modulesWithoutMains([1], from_s, from_s + 5 * day_s),
    latest: await readings.latest([1, 2]),
    latestThen: await readings.latest([1, 2], first_s + 10 * day_s),
    latestModules: await readings.latestModules([1]),
    around: await readings.around(1, first_s + 5 * day_s, first_s + 6 * day_s),
    beforeAll: await readings.around(1, first_s, first_s + day_s),
    newest: [...(await readings.newest_s([1, 2], first_s + 9.3 * day_s))],
    chart: await series.bins('readings', 1, from_s, to_s, 7200),
    water: await series.bins('water', 1, from_s, to_s, 14_400),
    backup: await series.bins('backup', 1, from_s, to_s, 14_400),
    counts: [
      await series.counts(1, 'suction_pressure_pa', from_s, to_s, 3600),
      await series.counts(2, null, from_s, to_s, 86_400),
    ],
    exported,
  };
}

export async function hotRows(database: Database, table = 'reading'): Promise<number> {
  return (await database.query<{ n: number }>(`select count(*)::int as n from ${table}`)).rows[0].n;
}

/** Rows that the files hold by DuckDB's own reading of the whole folder, as a notebook does it. */
export async function coldRows(database: Database, table = 'reading'): Promise<number> {
  const { rows } = await database.query<{ n: number }>(
    'select coalesce(sum(rows), 0)::int as n from cold_part where table_name = $1',
    [table],
  );
  return rows[0].n;
}
