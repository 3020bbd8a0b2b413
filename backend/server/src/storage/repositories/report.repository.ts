import type { Queryable } from '../connection/database.js';
import type { DiagnosisDocument } from './findings/diagnosis.repository.js';

export interface ReportedProblem {
  id: string;
  unitId: number;
  unit: string;
  unitName: string;
  document: DiagnosisDocument;
  openedAt: Date;
  endedAt: Date | null;
}

export interface ReportedVisit {
  findingId: string;
  unit: string;
  unitName: string;
  at: Date;
  by: string;
  document: object;
  finding: object;
}

/** A backup module's closings in a span. */
export interface ReportedModule {
  unit: string;
  unitName: string;
  module: number;
  /** Closings that were judged, and those that prove that the valve shuts on stored energy. */
  closings: number;
  proofs: number;
  lastProofAt: Date | null;
}

export interface Instants {
  from: Date;
  /** Just after the last day. */
  until: Date;
}

/** What a report on one site over some calendar days is made of. */
export class ReportRepository {
  constructor(private readonly database: Queryable) {}

  /** Calendar days at the site as instants: from the start of the first to the end of the last. */
  async instants(siteId: number, from: string, to: string): Promise<Instants> {
    const { rows } = await this.database.query<Instants>(
      `select $2::date::timestamp at time zone time_zone as from,
              ($3::date + 1)::timestamp at time zone time_zone as until from site where id = $1`,
      [siteId, from, to],
    );
    return rows[0];
  }

  /** The calendar day that it is at the site, and the one some days before. */
  async today(siteId: number, daysBefore: number): Promise<{ today: string; before: string }> {
    const { rows } = await this.database.query<{ today: string; before: string }>(
      `select to_char(now() at time zone time_zone, 'YYYY-MM-DD') as today,
              to_char((now() at time zone time_zone)::date - $2::int, 'YYYY-MM-DD') as before from site where id = $1`,
      [siteId, daysBefore],
    );
    return rows[0];
  }

  /** Problems that began in the span, or are still there; those that only ask to be watched are left out. */
  async problems(siteId: number, { from, until }: Instants): Promise<ReportedProblem[]> {
    const { rows } = await this.database.query<ReportedProblem>(
      `select d.id::text as id, u.id as "unitId", u.key as unit, u.name as "unitName", d.document,
              d.opened_at as "openedAt", d.ended_at as "endedAt"
         from diagnosis d join unit u on u.id = d.unit_id
        where u.site_id = $1 and d.urgency <> 'watch' and d.opened_at < $3
          and (d.opened_at >= $2 or d.ended_at is null or d.ended_at >= $2)
        order by u.name, d.opened_at, d.id`,
      [siteId, from, until],
    );
    return rows;
  }

  async visits(siteId: number, { from, until }: Instants): Promise<ReportedVisit[]> {
    const { rows } = await this.database.query<ReportedVisit>(
      `select d.finding_id::text as "findingId", u.key as unit, u.name as "unitName", d.decided_at as at, p.name as by,
              d.document, d.finding
         from decision d join unit u on u.id = d.unit_id join person p on p.id = d.person_id
        where u.site_id = $1 and d.kind = 'close' and d.decided_at >= $2 and d.decided_at < $3 order by d.id`,
      [siteId, from, until],
    );
    return rows;
  }

  async modules(siteId: number, { from, until }: Instants): Promise<ReportedModule[]> {
    const { rows } = await this.database.query<ReportedModule>(
      `select u.key as unit, u.name as "unitName", m.number as module, count(r.started_at)::int as closings,
              count(*) filter (where r.detail->>'proof' = 'true')::int as proofs,
              max(r.started_at) filter (where r.detail->>'proof' = 'true') as "lastProofAt"
         from module m join unit u on u.id = m.unit_id
         left join closing_result r on r.module_id = m.id and r.started_at >= $2 and r.started_at < $3
        where u.site_id = $1 group by u.id, m.id order by u.name, m.number`,
      [siteId, from, until],
    );
    return rows;
  }
}
