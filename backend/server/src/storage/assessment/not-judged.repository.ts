import type { Queryable } from '../connection/database.js';

/** One thing that could not be judged, for a person. */
export interface NotJudged {
  kind: 'window' | 'closing' | 'circuit' | 'module';
  /** Number of the circuit or module in its unit. */
  number: number;
  /** Start of the window or closing; null: the circuit or module as a whole. */
  startsAt_s: number | null;
  reason: string;
  failedAt_s: number;
}

export interface NotJudgedCounts {
  windows: number;
  closings: number;
  circuits: number;
  modules: number;
}

/** What could not be judged, with the reason. */
export class NotJudgedRepository {
  constructor(private readonly database: Queryable) {}

  /** @param sites keys of the only ones that count; null: all */
  async counts(sites: readonly string[] | null = null): Promise<NotJudgedCounts> {
    const { rows } = await this.database.query<NotJudgedCounts>(
      `with seen as (
         select u.id from unit u join site s on s.id = u.site_id where s.key = any($1::text[])),
       circuits as (select c.id from circuit c join seen on seen.id = c.unit_id),
       modules as (select m.id from module m join seen on seen.id = m.unit_id)
       select (select count(*)::int from not_judged where kind = 'window'
                  and ($1 is null or owner_id in (select id from circuits))) as windows,
              (select count(*)::int from not_judged where kind = 'closing'
                  and ($1 is null or owner_id in (select id from modules))) as closings,
              (select count(*)::int from circuit_state where failure is not null
                  and ($1 is null or circuit_id in (select id from circuits))) as circuits,
              (select count(*)::int from module_state where failure is not null
                  and ($1 is null or module_id in (select id from modules))) as modules`,
      [sites],
    );
    return rows[0];
  }

  /** Of one unit, the newest failure first. */
  async ofUnit(unitId: number, limit = 50): Promise<NotJudged[]> {
    const { rows } = await this.database.query<NotJudged>(
      `select kind, number, extract(epoch from starts_at)::float8 as "startsAt_s", reason,
              extract(epoch from failed_at)::float8 as "failedAt_s" from (
         select n.kind, c.number, n.starts_at, n.reason, n.failed_at
           from circuit c join not_judged n on n.kind = 'window' and n.owner_id = c.id where c.unit_id = $1
         union all
         select n.kind, m.number, n.starts_at, n.reason, n.failed_at
           from module m join not_judged n on n.kind = 'closing' and n.owner_id = m.id where m.unit_id = $1
         union all
         select 'circuit', c.number, null, s.failure, s.failed_at
           from circuit c join circuit_state s on s.circuit_id = c.id and s.failure is not null where c.unit_id = $1
         union all
         select 'module', m.number, null, s.failure, s.failed_at
           from module m join module_state s on s.module_id = m.id and s.failure is not null where m.unit_id = $1
       ) as failed order by failed_at desc limit $2`,
      [unitId, limit],
    );
    return rows;
  }
}
