import type { Queryable } from '../../connection/database.js';

/** Work that is done and work that waits. */
export interface WorkCounts {
  windowsJudged: number;
  windowsDue: number;
  /** Of these, windows that ended more than a minute ago. */
  historyDue: number;
  closingsDue: number;
  modulesDue: number;
  /** Circuits and modules whose findings are behind what is judged, and units that are to be diagnosed and ranked anew. */
  followingDue: number;
}

/** What the whole store holds: counting it takes the longer, the more there is. */
export interface StoreCounts {
  closings: number;
  unread: number;
  oldest: Date | null;
}

/** Circuits of which the newest reading is looked for: those that were touched last, and those judged furthest. */
const newestAmong = 200;

/** Counts that say how far the store and the assessment have come. */
export class StateRepository {
  constructor(private readonly database: Queryable) {}

  async work(): Promise<WorkCounts> {
    const { rows } = await this.database.query<WorkCounts>(
      `select c.judged as "windowsJudged", w.due as "windowsDue", w.history as "historyDue",
              (select count(*)::int from closing_due) as "closingsDue",
              (select count(*)::int from module_due) as "modulesDue",
              (c.owed
               + (select count(*) from module_due join module_state s using (module_id)
                   where news_at is not null and s.failure is null)
               + (select count(*) from attention_due))::int as "followingDue"
         from (select count(*)::int as due,
                      (count(*) filter (where window_start + interval '2 hours' < now() - interval '1 minute'))::int as history
                 from window_due) w,
              (select coalesce(sum(windows_judged), 0)::int as judged,
                      count(*) filter (where owed_since is not null and judged_until is not null and failure is null) as owed
                 from circuit_state) c`,
    );
    return rows[0];
  }

  async counts(): Promise<StoreCounts> {
    const { rows } = await this.database.query<StoreCounts>(
      `select (select count(*)::int from closing) as closings,
              (select count(*)::int from unread_message) as unread,
              least((select min(first_at) from cold_part where table_name = 'reading'),
                (select min(r.time) from circuit c cross join lateral (
                   select time from reading where circuit_id = c.id order by time limit 1) r)) as oldest`,
    );
    return rows[0];
  }

  /**
   * Rows of circuit readings, moved ones too, by the database's own running statistics: costs nothing, and is right to a few rows in a
   * second after a commit. Partitions and chunks are both children of the table.
   */
  async readings(): Promise<number> {
    const { rows } = await this.database.query<{ count: number }>(
      `select coalesce(sum(pg_stat_get_live_tuples(inhrelid)), 0)::float8
              + (select coalesce(sum(rows), 0) from cold_part where table_name = 'reading')::float8 as count
         from pg_inherits where inhparent = 'reading'::regclass`,
    );
    return rows[0].count;
  }

  /** Newest reading of the fleet, without looking at every circuit. */
  async newest(): Promise<Date | null> {
    const { rows } = await this.database.query<{ newest: Date | null }>(
      `with touched as (select circuit_id from window_due order by window_start desc, touched_at desc limit $1),
            judged as (select circuit_id from circuit_state where judged_until is not null order by judged_until desc limit $1)
       select max(r.time) as newest from (select circuit_id from touched union select circuit_id from judged) c
        cross join lateral (select time from reading where circuit_id = c.circuit_id order by time desc limit 1) r`,
      [newestAmong],
    );
    return rows[0].newest;
  }

  async ping(): Promise<void> {
    await this.database.query('select 1');
  }
}
