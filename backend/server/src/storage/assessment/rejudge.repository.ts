import { unpackWindows } from '@coldrounds/core';
import type { Database, Queryable } from '../connection/database.js';

const circuitsAtOnce = 50;

/** Has everything judged anew from the readings, as after a change of the analysis. */
export class RejudgeRepository {
  constructor(private readonly database: Database) {}

  /**
   * Makes every window that was judged, or could not be, due again; of all circuits, or of these. Results stay until
   * they are replaced. A window whose readings are past their retention stays as it is. Gives the number of windows.
   */
  async mark(circuitIds?: readonly number[]): Promise<number> {
    const { rows } = await this.database.query<{ id: number }>(
      'select id from circuit where $1::int[] is null or id = any($1) order by id',
      [circuitIds ?? null],
    );
    let marked = 0;
    for (let at = 0; at < rows.length; at += circuitsAtOnce)
      marked += await this.markSome(rows.slice(at, at + circuitsAtOnce).map(({ id }) => id));
    return marked;
  }

  private markSome(circuitIds: readonly number[]): Promise<number> {
    return this.database.transaction((client) => this.markFrom(client, circuitIds, null));
  }

  /** As `mark`, in the transaction of the caller, and only what ends after a moment; null: everything. */
  async markFrom(client: Queryable, circuitIds: readonly number[], from_s: number | null): Promise<number> {
    const { rows } = await client.query<{ circuit_id: number; windows: Buffer }>(
      `select circuit_id, windows from circuit_day
        where circuit_id = any($1) and ($2::float8 is null or day > to_timestamp($2) - interval '1 day')`,
      [circuitIds, from_s],
    );
    const windows = rows.flatMap(({ circuit_id, windows: packed }) =>
      unpackWindows(packed).map(({ start_s }) => ({ circuit_id, start_s })),
    );
    const { rowCount } = await client.query(
      `insert into window_due (circuit_id, window_start, touched_at)
       select w.id, w.start, now() from (
         select id, to_timestamp(start_s) as start from unnest($1::int[], $2::float8[]) as judged(id, start_s)
         union
         select owner_id, starts_at from not_judged where kind = 'window' and owner_id = any($3)) w
        cross join lateral (
          select least((select time from reading where circuit_id = w.id order by time limit 1),
                       (select min(first_at) from cold_part where table_name = 'reading' and owner_id = w.id)) as time) first
        where w.start > first.time - interval '2 hours'
          and ($4::float8 is null or w.start > to_timestamp($4) - interval '2 hours')
       on conflict (circuit_id, window_start) do update set touched_at = excluded.touched_at`,
      [
        windows.map(({ circuit_id }) => circuit_id),
        windows.map(({ start_s }) => start_s),
        circuitIds,
        from_s,
      ],
    );
    await client.query(
      `update circuit_state set attempts = 0, not_before = null, sensors_until = null, running_judged_at = null
        where circuit_id = any($1)`,
      [circuitIds],
    );
    return rowCount ?? 0;
  }
}
