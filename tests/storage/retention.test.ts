import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import {
  applyRetention,
  type Database,
  PartitionKeeper,
  weeksOf,
} from '../../backend/server/src/storage/index.js';
import { dividedTables } from '../../backend/server/src/storage/schema/time-series.js';
import {
  type DatabaseServer,
  engines,
  openMigrated,
  startDatabaseServer,
} from '../support/store/database.js';
import { seedFleet } from '../support/store/fleet.js';

const day_ms = 86_400_000;
const kept_days = 100;

/** Every table that grows with time, with a row of it at a moment ($1). */
const rows: Record<string, string> = {
  reading: `insert into reading (circuit_id, time, superheat_k) values (1, $1, 6)`,
  water_reading: `insert into water_reading (unit_id, time, entering_temperature_k) values (1, $1, 285)`,
  condenser_reading: `insert into condenser_reading (unit_id, time, entering_temperature_k) values (1, $1, 305)`,
  backup_reading: `insert into backup_reading (module_id, time, voltage_v) values (1, $1, 15)`,
  circuit_day: `insert into circuit_day (circuit_id, day, judged_at, windows, window_count, steady_minutes, judged_minutes,
      hunting_minutes, valve_minutes, valve_travel_strokes, valve_reversals) values (1, $1, $1, '', 0, 0, 0, 0, 0, 0, 0)`,
  rollup_window: `insert into rollup_window (circuit_id, window_start, samples) values (1, $1, '{1}')`,
  missing_samples: `insert into missing_samples (circuit_id, hour, expected, received) values (1, $1, 360, 200)`,
  delivery_hour: `insert into delivery_hour (unit_id, hour, samples, messages, steps, repeats, history) values (1, $1, 360, 360, 360, 0, 0)`,
  departure_day: `insert into departure_day (circuit_id, day, plateaus) values (1, $1, '')`,
  daily_figures: `insert into daily_figures (circuit_id, from_day, figures) values (1, $1, '')`,
  finding_change: `insert into finding_change (finding_id, changed_at, urgency, certainty, waiting, document)
      values (1, $1, 'watch', 'certain', 5, '{}')`,
  diagnosis_change: `insert into diagnosis_change (diagnosis_id, changed_at, cause, urgency, certainty, weight, waiting, document)
      values (1, $1, 'gas-in-circuit', 'watch', 'certain', 0.9, 5, '{}')`,
  closing: `insert into closing (module_id, started_at, time_s, voltage_v, current_a, valve_opening_pct)
      values (1, $1, '{0}', '{15}', '{1}', '{50}')`,
  closing_result: `insert into closing_result (module_id, started_at, kind, detail) values (1, $1, 'self-test', '{}')`,
  power_loss_review: `insert into power_loss_review (module_id, lost_at, detail) values (1, $1, '{}')`,
  not_judged: `insert into not_judged (kind, owner_id, starts_at, reason) values ('window', 1, $1, 'A reason.')`,
  unread_message: `insert into unread_message (received_at, topic, payload, reason, detail) values ($1, 't', 'x', 'not-json', 'It is not JSON.')`,
  unread_count: `insert into unread_count (day, source, reason, last_at) values ($1::timestamptz::date, 'harbour/chiller-1', 'not-json', $1)`,
  finding: `insert into finding (unit_id, subject_key, condition, urgency, certainty, waiting, document, opened_at, ended_at)
      values (1, 'unit', 'no-telemetry', 'watch', 'certain', 5, '{}', $1, $1)`,
};

describe.each(engines)('retention on $name', ({ url, skip }) => {
  let server: DatabaseServer;
  let database: Database;
  beforeAll(async () => {
    if (skip) return;
    server = await startDatabaseServer(url);
    database = await openMigrated(await server.newDatabase());
    await seedFleet(database, 1, 1);
  });
  afterAll(async () => {
    await database?.close();
    await server?.stop();
  });

  const count = async (table: string) =>
    Number((await database.query<{ n: string }>(`select count(*) as n from ${table}`)).rows[0].n);
  const drop = () =>
    applyRetention(database.pool, {
      readings_days: kept_days,
      results_days: kept_days,
      unreadMessages_days: kept_days,
    });

  it.skipIf(skip)('is known here of every table that is divided by time', () => {
    expect(Object.keys(rows)).toEqual(expect.arrayContaining(dividedTables.map(({ name }) => name)));
  });

  it.skipIf(skip)('drops what is past it from every table that grows, and keeps the rest', async () => {
    const now_ms = Date.now();
    // Divided tables go by whole parts of up to twelve weeks.
    const times = [now_ms - (kept_days + 100) * day_ms, now_ms - (kept_days - 1) * day_ms, now_ms - day_ms];
    const keeper = new PartitionKeeper(database.pool);
    for (const { name } of dividedTables) await keeper.ensure(name, weeksOf(times));
    for (const insert of Object.values(rows))
      for (const time of times) await database.query(insert, [new Date(time)]);
    await drop();
    const left = await Promise.all(Object.keys(rows).map(async (table) => [table, await count(table)]));
    expect(Object.fromEntries(left)).toEqual(
      Object.fromEntries(Object.keys(rows).map((table) => [table, 2])),
    );
    // Once more changes nothing.
    expect(await drop()).toEqual([]);
    // Samples may go sooner than what was found from them.
    await applyRetention(database.pool, { readings_days: 30, results_days: null, unreadMessages_days: null });
    const left30 = ['reading', 'delivery_hour', 'rollup_window', 'closing'].map(count);
    expect(await Promise.all(left30)).toEqual([1, 1, 2, 2]);
  });

  it.skipIf(skip)('knows from its horizon on how every open finding stood', async () => {
    const horizon = new Date(Date.now() - kept_days * day_ms);
    const { rows: opened } = await database.query<{ id: number; ended: boolean }>(
      `insert into finding (unit_id, subject_key, condition, urgency, certainty, waiting, document, opened_at, ended_at)
       select 1, 'circuit/1', 'hunting', 'today', 'certain', 5, '{}', now() - interval '300 days', ended_at
         from unnest(array[null, now() - interval '290 days']::timestamptz[]) as e(ended_at)
       returning id, ended_at is not null as ended`,
    );
    const life = [
      [300, 'watch'],
      [295, 'next-visit'],
      [50, 'today'],
      [2, 'this-week'],
    ] as const;
    const keeper = new PartitionKeeper(database.pool);
    await keeper.ensure('finding_change', weeksOf(life.map(([days]) => Date.now() - days * day_ms)));
    for (const { id, ended } of opened)
      for (const [days, urgency] of ended ? life.slice(0, 2) : life)
        await database.query(
          `insert into finding_change (finding_id, changed_at, urgency, certainty, waiting, document)
           values ($1, now() - $2 * interval '1 day', $3, 'certain', 5, '{}')`,
          [id, days, urgency],
        );
    await drop();
    await drop();
    const open = opened.find(({ ended }) => !ended)!.id;
    const { rows: left } = await database.query<{ finding_id: number; urgency: string; before: boolean }>(
      `select finding_id, urgency, changed_at <= $2 as before from finding_change
        where finding_id = any($1) order by changed_at`,
      [opened.map(({ id }) => id), horizon],
    );
    expect(left).toEqual([
      { finding_id: open, urgency: 'next-visit', before: true },
      { finding_id: open, urgency: 'today', before: false },
      { finding_id: open, urgency: 'this-week', before: false },
    ]);
  });

  it.skipIf(skip)('makes the parts ahead into which the coming weeks are written', async () => {
    const in80Days = new Date(Date.now() + 80 * day_ms);
    await database.query(rows.finding_change, [in80Days]);
    await database.query(rows.diagnosis_change, [in80Days]);
    await database.query('delete from finding_change where changed_at = $1', [in80Days]);
    await database.query('delete from diagnosis_change where changed_at = $1', [in80Days]);
  });
});
