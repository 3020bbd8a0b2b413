import type { Queryable } from '../../connection/database.js';

/** How far a unit's telemetry and judgement have come. */
export interface UnitNews {
  /** `{site key}/{unit key}`. */
  unit: string;
  circuits: { circuit: number; time_s: number }[];
  /** Newest assessment of any circuit or module. */
  judgedAt_s: number | null;
}

/** What is new of the few units that somebody looks at. */
export class LatestRepository {
  constructor(private readonly database: Queryable) {}

  async news(units: readonly string[]): Promise<UnitNews[]> {
    const { rows } = await this.database.query<UnitNews>(
      `select s.key || '/' || u.key as unit,
              coalesce((select jsonb_agg(jsonb_build_object('circuit', c.number, 'time_s', extract(epoch from r.time)) order by c.number)
                 from circuit c cross join lateral (
                   select greatest((select time from reading where circuit_id = c.id order by time desc limit 1),
                     (select max(last_at) from cold_part where table_name = 'reading' and owner_id = c.id)) as time) r
                where c.unit_id = u.id and r.time is not null), '[]') as circuits,
              (select extract(epoch from max(judged_at))::float8 from (
                 select judged_at from circuit_result join circuit c on c.id = circuit_id where c.unit_id = u.id
                 union all
                 select judged_at from module_result join module m on m.id = module_id where m.unit_id = u.id) as judged
              ) as "judgedAt_s"
         from unnest($1::text[]) as wanted(name)
         join site s on s.key = split_part(wanted.name, '/', 1)
         join unit u on u.site_id = s.id and u.key = split_part(wanted.name, '/', 2)`,
      [units],
    );
    return rows;
  }
}
