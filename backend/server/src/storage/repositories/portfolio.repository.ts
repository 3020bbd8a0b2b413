import type { Queryable } from '../connection/database.js';

/** What is known of one site, in numbers. */
export interface SiteFigures {
  siteId: number;
  key: string;
  name: string;
  region: string | null;
  /** Null: not known. */
  latitude_deg: number | null;
  longitude_deg: number | null;
  units: number;
  /** Units by urgency as `Place` has them. */
  byUrgency: number[];
  silent: number;
  modules: number;
  proven: number;
  circuits: number;
  upToDate: number;
  notJudged: number;
  /** Samples of the last day that even intervals promise, and those of them that are missing. */
  expected: number;
  missing: number;
}

/** Figures of every site, in one statement: its cost follows the fleet, so that it is asked for seldom and kept. */
export class PortfolioRepository {
  constructor(private readonly database: Queryable) {}

  async sites(judgedSince_s: number): Promise<SiteFigures[]> {
    const { rows } = await this.database.query<SiteFigures>(
      `with places as (
         select site_id, count(*)::int as units, count(*) filter (where silent)::int as silent,
                array[count(*) filter (where urgency = 0), count(*) filter (where urgency = 1),
                      count(*) filter (where urgency = 2), count(*) filter (where urgency = 3),
                      count(*) filter (where urgency = 4)]::int[] as by_urgency
           from unit_attention group by site_id),
       backups as (
         select u.site_id, count(*)::int as modules, count(*) filter (where r.proven)::int as proven
           from module m join unit u on u.id = m.unit_id left join module_result r on r.module_id = m.id
          group by u.site_id),
       states as (
         select u.site_id, count(*)::int as circuits,
                count(*) filter (where s.judged_until >= to_timestamp($1))::int as up_to_date
           from circuit c join unit u on u.id = c.unit_id left join circuit_state s on s.circuit_id = c.id
          group by u.site_id),
       samples as (
         select u.site_id, sum(h.expected)::float8 as expected, sum(h.missing) filter (where h.expected is not null)::float8 as missing
           from unit_data_health h join unit u on u.id = h.unit_id and u.retired_at is null group by u.site_id),
       failures as (
         select u.site_id, count(*)::int as failed
           from not_judged n
           left join circuit c on n.kind = 'window' and c.id = n.owner_id
           left join module m on n.kind = 'closing' and m.id = n.owner_id
           join unit u on u.id = coalesce(c.unit_id, m.unit_id)
          group by u.site_id)
       select s.id as "siteId", s.key, s.name, s.region, s.latitude_deg, s.longitude_deg, p.units, p.by_urgency as "byUrgency", p.silent,
              coalesce(b.modules, 0) as modules, coalesce(b.proven, 0) as proven,
              coalesce(t.circuits, 0) as circuits, coalesce(t.up_to_date, 0) as "upToDate",
              coalesce(f.failed, 0) as "notJudged", coalesce(d.expected, 0) as expected, coalesce(d.missing, 0) as missing
         from site s join places p on p.site_id = s.id
         left join backups b on b.site_id = s.id
         left join states t on t.site_id = s.id
         left join samples d on d.site_id = s.id
         left join failures f on f.site_id = s.id
        order by s.key`,
      [judgedSince_s],
    );
    return rows;
  }
}
