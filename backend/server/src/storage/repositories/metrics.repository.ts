import type { Queryable } from '../connection/database.js';

export interface MetricFigures {
  windowsDue: number;
  /** When the oldest window that has ended and waits ended. */
  oldestWindowDue: Date | null;
  closingsDue: number;
  modulesDue: number;
  unitsToRank: number;
  /** Open findings by urgency: today, this-week, next-visit, watch. */
  findings: number[];
  people: number;
  sessions: number;
}

export interface TableSize {
  table: string;
  bytes: number;
}

/** Figures for a monitor: what waits, and what the store takes. */
export class MetricsRepository {
  constructor(private readonly database: Queryable) {}

  async figures(): Promise<MetricFigures> {
    const { rows } = await this.database.query<MetricFigures>(
      `select (select count(*)::int from window_due) as "windowsDue",
              (select min(window_start) + interval '2 hours' from window_due
                where window_start + interval '2 hours' < now()) as "oldestWindowDue",
              (select count(*)::int from closing_due) as "closingsDue",
              (select count(*)::int from module_due) as "modulesDue",
              (select count(*)::int from attention_due) as "unitsToRank",
              (select array_agg((select count(*)::int from finding where ended_at is null and urgency = name) order by place)
                 from unnest(array['today', 'this-week', 'next-visit', 'watch']) with ordinality as u(name, place)) as findings,
              (select count(*)::int from person where active and not invented) as people,
              (select count(*)::int from session) as sessions`,
    );
    return rows[0];
  }

  /** Bytes of each table with its indexes; of one that is divided by time with all its parts. */
  async sizes(): Promise<{ database: number; tables: TableSize[] }> {
    const { rows } = await this.database.query<TableSize>(
      `select coalesce(i.inhparent, c.oid)::regclass::text as "table", sum(pg_total_relation_size(c.oid))::float8 as bytes
         from pg_class c left join pg_inherits i on i.inhrelid = c.oid
         join pg_class owner on owner.oid = coalesce(i.inhparent, c.oid)
        where c.relkind in ('r', 'p') and owner.relnamespace = current_schema()::regnamespace
        group by 1 order by 1`,
    );
    const whole = await this.database.query<{ bytes: number }>(
      'select pg_database_size(current_database())::float8 as bytes',
    );
    return { database: whole.rows[0].bytes, tables: rows };
  }
}
