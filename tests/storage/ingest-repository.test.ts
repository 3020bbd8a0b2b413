import { afterAll, afterEach, beforeAll, beforeEach, describe, expect, it } from 'vitest';
import {
  type Database,
  emptyBatch,
  IngestRepository,
  readCircuitSeries,
  readingTable,
  type SeriesRows,
  type TelemetryTable,
  condenserReadingTable,
  waterReadingTable,
} from '../../backend/server/src/storage/index.js';
import { DataHealthRepository } from '../../backend/server/src/storage/delivery/data-health.repository.js';
import { DeliveryRepository } from '../../backend/server/src/storage/delivery/delivery.repository.js';
import {
  type DatabaseServer,
  engines,
  openMigrated,
  startDatabaseServer,
} from '../support/store/database.js';
import { seedFleet } from '../support/store/fleet.js';

const start = Date.UTC(2026, 2, 2, 10);

/** Rows every 10 s from `start`, with only the named columns. */
function rowsOf(
  table: TelemetryTable,
  ownerId: number,
  count: number,
  values: Record<string, (i: number) => number>,
  first = start,
): SeriesRows {
  return {
    ownerId,
    length: count,
    time_ms: Float64Array.from({ length: count }, (_, i) => first + i * 10_000),
    columns: table.columns.map(({ name }) =>
      Float64Array.from({ length: count }, (_, i) => values[name]?.(i) ?? NaN),
    ),
  };
}

describe.each(engines)('the ingest repository on $name', ({ url, skip }) => {
  let server: DatabaseServer;
  let database: Database;
  let repository: IngestRepository;
  beforeAll(async () => {
    if (!skip) server = await startDatabaseServer(url);
  });
  beforeEach(async () => {
    if (skip) return;
    database = await openMigrated(await server.newDatabase());
    await seedFleet(database);
    repository = new IngestRepository(database.pool);
  });
  afterEach(() => database?.close());
  afterAll(() => server?.stop());

  const write = (part: Partial<ReturnType<typeof emptyBatch>>) =>
    repository.write({ ...emptyBatch(), ...part });
  const full = (count: number, first?: number) =>
    rowsOf(
      readingTable,
      1,
      count,
      {
        suction_pressure_pa: (i) => 350_000 + i,
        suction_temperature_k: () => 285,
        suction_saturation_k: () => 279,
        valve_opening_pct: (i) => i % 100,
        compressor_power_w: (i) => 50_000 + i,
      },
      first,
    );

  it.skipIf(skip)('gives back what it was given', async () => {
    const summary = await write({
      readings: [full(1440)],
      waterReadings: [
        rowsOf(waterReadingTable, 1, 3, { entering_temperature_k: (i) => 285 + i }, start - 10_000),
      ],
      condenserReadings: [
        rowsOf(condenserReadingTable, 1, 2, { flow_m3_s: () => 0.02, fan_speed_pct: (i) => 40 + i }),
      ],
    });
    expect(summary.rows).toBe(1445);
    const series = await readCircuitSeries(database, 1, new Date(start), new Date(start + 4 * 3_600_000));
    expect(series.time_s.length).toBe(1440);
    expect(series.time_s[0]).toBe(start / 1000);
    expect(series.time_s[1439]).toBe(start / 1000 + 14_390);
    expect(series.suctionPressure_Pa[1439]).toBe(351_439);
    expect(series.valveOpening_pct[130]).toBe(30);
    expect(series.liquidTemperature_K[0]).toBeNaN();
    // Water at -10 s, 0 s and 10 s is carried on for 5 min and no longer.
    expect([0, 1, 2, 31].map((i) => series.enteringWaterTemperature_K[i])).toEqual([286, 287, 287, 287]);
    expect(series.enteringWaterTemperature_K[32]).toBeNaN();
    expect(series.compressorPower_W[1439]).toBe(51_439);
    expect(series.condenserFlow_m3_s[31]).toBeCloseTo(0.02, 9);
    expect(series.condenserFanSpeed_pct[0]).toBe(40);
    expect(series.condenserFanSpeed_pct[31]).toBe(41);
    expect(series.condenserFanSpeed_pct[32]).toBeNaN();
    expect(series.condenserEnteringTemperature_K[0]).toBeNaN();
    const { rows } = await database.query<{ superheat_k: number; subcooling_k: null }>(
      'select superheat_k, subcooling_k from reading limit 1',
    );
    expect(rows[0]).toEqual({ superheat_k: 6, subcooling_k: null });
  });

  it.skipIf(skip)('reads an empty span as no samples', async () => {
    const series = await readCircuitSeries(database, 1, new Date(0), new Date(1));
    expect(series.time_s.length).toBe(0);
    expect(series.ambientTemperature_K.length).toBe(0);
  });

  it.skipIf(skip)('changes nothing on a repeat, and marks no window', async () => {
    await write({ readings: [full(900)] });
    await database.query('delete from window_due');
    const again = await write({ readings: [full(900)] });
    expect(again.rows).toBe(0);
    expect(again.windows).toEqual([]);
    const partly = await write({ readings: [full(910)] });
    expect(partly.rows).toBe(10);
    expect((await database.query('select from reading')).rowCount).toBe(910);
  });

  it.skipIf(skip)('keeps a value once stored, and fills one that is missing', async () => {
    await write({ readings: [rowsOf(readingTable, 1, 2, { suction_temperature_k: () => 285 })] });
    const late = {
      suction_temperature_k: () => 300,
      suction_pressure_pa: () => 350_000,
      suction_saturation_k: () => 279,
    };
    const summary = await write({ readings: [rowsOf(readingTable, 1, 2, late)] });
    expect(summary.rows).toBe(2);
    const { rows } = await database.query(
      'select suction_temperature_k, suction_pressure_pa, superheat_k from reading',
    );
    expect(rows).toEqual(
      Array(2).fill({ suction_temperature_k: 285, suction_pressure_pa: 350_000, superheat_k: 6 }),
    );
  });

  it.skipIf(skip)('merges rows of one time within a batch', async () => {
    await write({
      readings: [
        rowsOf(readingTable, 1, 3, { suction_temperature_k: () => 285 }),
        rowsOf(readingTable, 1, 2, { suction_saturation_k: () => 280, suction_temperature_k: () => 1 }),
      ],
    });
    const { rows } = await database.query('select superheat_k from reading order by time');
    expect(rows.map((row) => row.superheat_k)).toEqual([5, 5, null]);
  });

  it.skipIf(skip)(
    'marks the windows of 2 h that rows touch; water touches all circuits of its unit',
    async () => {
      const summary = await write({
        readings: [full(2, start - 10_000)],
        waterReadings: [rowsOf(waterReadingTable, 1, 1, { flow_m3_s: () => 0.01 })],
        backupReadings: [],
      });
      expect(summary.windows).toEqual([
        { circuitId: 1, windowStart_ms: start - 7_200_000 },
        { circuitId: 1, windowStart_ms: start },
        { circuitId: 2, windowStart_ms: start },
      ]);
      const { rowCount } = await database.query('select from window_due');
      expect(rowCount).toBe(3);
    },
  );

  it.skipIf(skip)(
    'keeps closings once, presence as last said, unread messages once when redelivered',
    async () => {
      const closing = {
        moduleId: 1,
        startedAt_ms: start,
        time_s: Float64Array.of(0, 0.05),
        voltage_V: Float64Array.of(15.5, 15.25),
        current_A: Float64Array.of(NaN, 0.5),
        valveOpening_pct: Float64Array.of(60, 59),
      };
      const unread = {
        topic: 'x',
        payload: Buffer.from([0, 255]),
        reason: 'not-text',
        detail: 'A sentence.',
        receivedAt_ms: Date.now(),
        delivery: 'ingest:7',
        redelivered: false,
        connectedAt_ms: Date.now() - 60_000,
      };
      const first = await write({
        closings: [closing],
        presences: [
          { unitId: 1, online: false, since_ms: start },
          { unitId: 1, online: true, since_ms: start + 5 },
        ],
        unread: [unread],
      });
      expect(first).toMatchObject({ closings: [{ moduleId: 1 }], moduleIds: [1], unread: 1 });
      const second = await write({
        closings: [closing],
        presences: [{ unitId: 1, online: true, since_ms: start + 9 }],
        unread: [{ ...unread, redelivered: true, connectedAt_ms: Date.now() + 1 }],
      });
      expect(second).toMatchObject({ closings: [], presences: [], unread: 0 });
      // Both copies in one batch: the first waited while its connection was lost.
      const other = { ...unread, payload: Buffer.from('other'), delivery: 'ingest:8' };
      const again = {
        ...other,
        redelivered: true,
        receivedAt_ms: Date.now() + 9,
        connectedAt_ms: Date.now() + 5,
      };
      expect(await write({ unread: [other, again] })).toMatchObject({ unread: 1 });
      await database.query('delete from unread_message where id = (select max(id) from unread_message)');
      // Under an identifier that is used again, the same bytes are another message.
      expect(await write({ unread: [{ ...unread, redelivered: true }] })).toMatchObject({ unread: 1 });
      await database.query('delete from unread_message where id = (select max(id) from unread_message)');
      // A late `offline` that is older than what is known changes nothing; a later one does.
      const presence = async (online: boolean, since_ms: number) =>
        (await write({ presences: [{ unitId: 1, online, since_ms }] })).presences.length;
      expect(await presence(false, start + 6)).toBe(0);
      expect((await database.query('select online from unit where id = 1')).rows).toEqual([{ online: true }]);
      expect(await presence(false, start + 20)).toBe(1);
      expect(await presence(true, start + 30)).toBe(1);
      await write({ unread: [unread] });
      const { rows } = await database.query('select payload from unread_message');
      expect(rows).toEqual([{ payload: unread.payload }, { payload: unread.payload }]);
      const stored = await database.query('select current_a, voltage_v from closing');
      expect(stored.rows).toEqual([{ current_a: [null, 0.5], voltage_v: [15.5, 15.25] }]);
      expect((await database.query('select online from unit')).rows).toEqual([{ online: true }]);
    },
  );

  describe('counts how telemetry comes', () => {
    const delivered = (readings: SeriesRows, late_s = 2): Partial<ReturnType<typeof emptyBatch>> => ({
      readings: [readings],
      deliveries: [
        {
          ...{ unitId: 1, table: 'reading', ownerId: readings.ownerId, time_ms: readings.time_ms },
          receivedAt_ms: readings.time_ms[readings.length - 1] + late_s * 1000,
        },
      ],
    });
    const hours = async () =>
      (
        await database.query(
          `select extract(epoch from hour)::float8 * 1000 as hour, samples, messages, steps, repeats, history
             from delivery_hour order by hour`,
        )
      ).rows;
    const hour = (at_ms: number, counted: Record<string, number>) => ({
      ...{ hour: at_ms, samples: 0, messages: 0, steps: 0, repeats: 0, history: 0 },
      ...counted,
    });

    it.skipIf(skip)(
      'by the hour, a repeat once and as nothing else, whoever adds the counts up',
      async () => {
        await write(delivered(full(360)));
        await write(delivered(full(360)));
        await write(delivered(full(540), 3600));
        // What was counted waits in the store: whoever comes next adds it, each part once.
        expect(await hours()).toEqual([]);
        const folding = [1, 2, 3].map(() => new DeliveryRepository(database).fold());
        const folded = await Promise.all(folding);
        expect(folded.reduce((sum, each) => sum + each)).toBe(3);
        expect(await hours()).toEqual([
          // Two packs of an hour that ends at 10:59:50, the second a repeat.
          hour(start, { samples: 360, messages: 2, steps: 720, repeats: 360 }),
          // The half hour after it came an hour late, with the first hour once more.
          hour(start + 3_600_000, { samples: 180 }),
          hour(start + 2 * 3_600_000, { messages: 1, steps: 540, repeats: 360, history: 540 }),
        ]);
        expect(await new DeliveryRepository(database).fold()).toBe(0);
        await write(delivered(full(180, start + 3_600_000), 4000));
        await new DeliveryRepository(database).fold();
        expect((await hours())[2]).toEqual(
          hour(start + 2 * 3_600_000, { messages: 2, steps: 720, repeats: 540, history: 720 }),
        );
      },
    );

    it.skipIf(skip)('of a signal in a message of its own as no repeat, and no second sample', async () => {
      const part = (name: string) => rowsOf(readingTable, 1, 10, { [name]: () => 300 });
      await write(delivered(part('suction_pressure_pa')));
      await write(delivered(part('suction_temperature_k')));
      await write(delivered(part('suction_temperature_k')));
      await new DeliveryRepository(database).fold();
      expect(await hours()).toEqual([hour(start, { samples: 10, messages: 3, steps: 30, repeats: 10 })]);
      const health = await new DataHealthRepository(database).hours([1], start / 1000);
      expect(health).toEqual([{ unitId: 1, hour_s: start / 1000, samples: 10, missing: 0 }]);
    });
  });

  it.skipIf(skip)('makes a week anew after retention has dropped it', async () => {
    await write({ readings: [full(1)] });
    if (!url) {
      const { rows } = await database.query(
        `select inhrelid::regclass::text as name from pg_inherits where inhparent = 'reading'::regclass`,
      );
      await database.query(`drop table ${rows[0].name}`);
      await write({ readings: [full(1)] });
    }
    expect((await database.query('select from reading')).rowCount).toBe(1);
  });

  it.skipIf(skip)('takes batches of several writers for the same rows', async () => {
    const others = [1, 2, 3].map(() => new IngestRepository(database.pool));
    await Promise.all(others.map((other) => other.write({ ...emptyBatch(), readings: [full(3000)] })));
    expect((await database.query('select from reading')).rowCount).toBe(3000);
  });
});
