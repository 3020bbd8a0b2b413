import type { Urgency } from '@coldrounds/core';
import type { Queryable } from '../../connection/database.js';
import type { StoredFinding } from './finding.repository.js';

/** A unit whose place on the round is another than it was. */
export interface ChangedUnit {
  unitId: number;
  siteId: number;
  siteKey: string;
  /** Places by urgency as `Place` has them; 4: nothing found. */
  before: number;
  now: number;
}

/** A finding that opened, ended, or became more or less urgent. */
export interface ChangedFinding extends StoredFinding {
  urgency: Urgency;
  /** Null: it was not open then. */
  before: Urgency | null;
}

const place = (urgency: string) =>
  `(array_position(array['today', 'this-week', 'next-visit', 'watch'], ${urgency}) - 1)`;

/** What findings were, against what they are. */
export class ChangeRepository {
  constructor(private readonly database: Queryable) {}

  /** Units whose most urgent finding is of another urgency than at the moment, in the round's order of now. */
  async unitsSince(since_s: number): Promise<ChangedUnit[]> {
    const { rows } = await this.database.query<ChangedUnit>(
      `with touched as (
         select unit_id from finding where opened_at > to_timestamp($1)
         union select unit_id from finding where ended_at > to_timestamp($1)
         union select f.unit_id from finding_change c join finding f on f.id = c.finding_id
                where c.changed_at > to_timestamp($1)),
       past as (
         select f.unit_id, min(${place('c.urgency')}) as urgency
           from touched join finding f using (unit_id) cross join lateral (
             select urgency from finding_change
              where finding_id = f.id and changed_at <= to_timestamp($1) order by changed_at desc limit 1) c
          where f.opened_at <= to_timestamp($1) and (f.ended_at is null or f.ended_at > to_timestamp($1))
          group by f.unit_id)
       select a.unit_id as "unitId", a.site_id as "siteId", s.key as "siteKey", coalesce(past.urgency, 4)::int as before, a.urgency as now
         from touched join unit_attention a using (unit_id) join site s on s.id = a.site_id left join past using (unit_id)
        where coalesce(past.urgency, 4) <> a.urgency
        order by a.urgency, a.waiting, a.findings, a.certainty, a.name`,
      [since_s],
    );
    return rows;
  }

  /** Findings of some units that are not what they were at the moment. */
  async findingsSince(since_s: number, unitIds: readonly number[]): Promise<ChangedFinding[]> {
    if (unitIds.length === 0) return [];
    const { rows } = await this.database.query<ChangedFinding>(
      `select f.id::text as id, f.unit_id as "unitId", f.document, f.opened_at as "openedAt",
              f.updated_at as "updatedAt", f.ended_at as "endedAt", f.urgency, c.urgency as before
         from finding f left join lateral (
           select urgency from finding_change
            where finding_id = f.id and changed_at <= to_timestamp($1) order by changed_at desc limit 1) c on true
        where f.unit_id = any($2)
          and case when f.ended_at is null
                   then c.urgency is distinct from f.urgency
                   else c.urgency is not null and f.ended_at > to_timestamp($1) end
        order by ${place('f.urgency')}, f.waiting desc, f.id`,
      [since_s, unitIds],
    );
    return rows;
  }
}
