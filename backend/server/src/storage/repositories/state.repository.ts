import type { Queryable } from '../connection/database.js';

export interface StoreState {
  windowsDue: number;
  /** Of these, windows that ended more than a minute ago. */
  historyDue: number;
  windowsJudged: number;
  closings: number;
  closingsDue: number;
  modulesDue: number;
  unread: number;
}

/** Counts that say how far the store and the assessment have come. */
export class StateRepository {
  constructor(private readonly database: Queryable) {}

  async state(): Promise<StoreState> {
    const { rows } = await this.database.query<StoreState>(
      `select (select count(*)::int from window_due) as "windowsDue",
              (select count(*)::int from window_due where window_start + interval '2 hours' < now() - interval '1 minute') as "historyDue",
              (select coalesce(sum(windows_judged), 0)::int from circuit_state) as "windowsJudged",
              (select count(*)::int from closing) as closings,
              (select count(*)::int from closing_due) as "closingsDue",
              (select count(*)::int from module_due) as "modulesDue",
              (select count(*)::int from unread_message) as unread`,
    );
    return rows[0];
  }

  /**
   * Rows of circuit readings by the database's own running statistics: costs nothing, and is right to a few rows in a
   * second after a commit. Partitions and chunks are both children of the table.
   */
  async readings(): Promise<number> {
    const { rows } = await this.database.query<{ count: number }>(
      `select coalesce(sum(pg_stat_get_live_tuples(inhrelid)), 0)::float8 as count
         from pg_inherits where inhparent = 'reading'::regclass`,
    );
    return rows[0].count;
  }

  async span(): Promise<{ oldest: Date | null; newest: Date | null }> {
    const { rows } = await this.database.query<{ oldest: Date | null; newest: Date | null }>(
      `select min(o.time) as oldest, max(n.time) as newest from circuit c
         left join lateral (select time from reading where circuit_id = c.id order by time limit 1) o on true
         left join lateral (select time from reading where circuit_id = c.id order by time desc limit 1) n on true`,
    );
    return rows[0];
  }

  async ping(): Promise<void> {
    await this.database.query('select 1');
  }
}
