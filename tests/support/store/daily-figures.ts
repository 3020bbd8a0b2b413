import { blockOf, daySummary, packDays } from '@coldrounds/core';
import { type Database, PartitionKeeper, weeksOf } from '../../../backend/server/src/storage/index.js';

const day_s = 86_400;
const kinds = 64;

/** Days (UTC) up to the running one. */
export function lastDays(span: number): number[] {
  const today_s = Math.floor(Date.now() / 1000 / day_s) * day_s;
  return Array.from({ length: span }, (_, ago) => today_s - ago * day_s);
}

/** Gives every circuit figures of these days, that differ from day to day and among 64 kinds of circuit. */
export async function seedDailyFigures(database: Database, days: readonly number[]): Promise<void> {
  await new PartitionKeeper(database.pool).ensure(
    'daily_figures',
    weeksOf(days.map((time_s) => time_s * 1000)),
  );
  const nothing = daySummary([]);
  const today_s = Math.max(...days);
  const wave = (kind: number, time_s: number, column: number) =>
    0.5 + 0.5 * Math.sin(kind * 12.9898 + time_s / day_s + column * 4.1);
  /** A quarter of the kinds got a setpoint of 6 K instead of 8 K, each in a week of its own. */
  const setpoint_K = (kind: number, time_s: number) =>
    kind < kinds / 4 && time_s >= today_s - (60 + 7 * kind) * day_s ? 6 : 8;
  const summaryOf = (kind: number, time_s: number): typeof nothing => {
    const figures = Object.fromEntries(
      Object.keys(nothing).map((name, column) => [name, 10 + 90 * wave(kind, time_s, column)]),
    ) as typeof nothing;
    return { ...figures, setpointOffset_K: figures.superheatMean_K - setpoint_K(kind, time_s) };
  };
  for (const from_s of new Set(days.map(blockOf))) {
    const own = days.filter((time_s) => blockOf(time_s) === from_s);
    const packed = Array.from({ length: kinds }, (_, kind) =>
      packDays(
        null,
        own.map((time_s) => ({ place: (time_s - from_s) / day_s, summary: summaryOf(kind, time_s) })),
      ),
    );
    await database.query(
      `insert into daily_figures (circuit_id, from_day, figures)
       select id, to_timestamp($1), ($2::bytea[])[1 + id % $3] from circuit`,
      [from_s, packed, kinds],
    );
  }
  await database.query('vacuum analyze daily_figures');
}

/** One unit in five got other firmware in one of 40 weeks, and one in fifty was visited. */
export async function seedChanges(database: Database, today_s: number): Promise<void> {
  await database.query(
    `insert into registry_change (who, kind, unit_id, subject, reason, holds_from, before, after)
     select 'somebody', 'edit', id, key, 'new firmware', to_timestamp($1 - (60 + 7 * (id / 5 % 40)) * 86400.0),
            '{"controllerFirmware": "3.1"}', '{"controllerFirmware": "4.0"}'
       from unit where id % 5 = 0`,
    [today_s],
  );
  await database.query(
    `with who as (insert into person (name, role, invented) values ('somebody', 'technician', true) returning id)
     insert into decision (finding_id, unit_id, kind, person_id, version, document, finding, decided_at)
     select unit.id, unit.id, 'close', who.id, 1, '{"seen": {"kind": "cause", "cause": "valve-friction"}, "parts": ["valve"]}',
            '{"subject": {}}', to_timestamp($1 - (60 + unit.id % 200) * 86400.0)
       from unit, who where unit.id % 50 = 0`,
    [today_s],
  );
}
