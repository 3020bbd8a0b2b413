import type { AgeingMonth, CohortAgeing } from '@coldrounds/core';
import type { Queryable } from '../../connection/database.js';

export interface ModuleMonths {
  moduleId: number;
  months: AgeingMonth[];
  /** Of the last sudden change; null: none. */
  changedAt_s: number | null;
}

/** How modules of one rating age. */
export class AgeingCohortRepository {
  constructor(private readonly database: Queryable) {}

  /** Modules with so many months of ageing or more, by id. */
  async seenFor(months: number): Promise<number[]> {
    const { rows } = await this.database.query<{ id: number }>(
      `select module_id as id from module_result where jsonb_array_length(detail->'ageing') >= $1 order by module_id`,
      [months],
    );
    return rows.map(({ id }) => id);
  }

  async months(moduleIds: readonly number[]): Promise<ModuleMonths[]> {
    const { rows } = await this.database.query<ModuleMonths>(
      `select module_id as "moduleId", detail->'ageing' as months,
              (detail #>> '{suddenChange,at_s}')::float8 as "changedAt_s"
         from module_result where module_id = any($1) order by module_id`,
      [moduleIds],
    );
    return rows;
  }

  /** Keeps these cohorts and no others. */
  async keep(cohorts: ReadonlyMap<string, CohortAgeing>): Promise<void> {
    await this.database.query(
      `with gone as (delete from ageing_cohort where rating <> all($1::text[]))
       insert into ageing_cohort (rating, detail) select rating, detail from unnest($1::text[], $2::jsonb[]) as c(rating, detail)
       on conflict (rating) do update set learned_at = now(), detail = excluded.detail`,
      [[...cohorts.keys()], [...cohorts.values()].map((cohort) => JSON.stringify(cohort))],
    );
  }

  async all(): Promise<Map<string, CohortAgeing>> {
    const { rows } = await this.database.query<{ rating: string; detail: CohortAgeing }>(
      'select rating, detail from ageing_cohort',
    );
    return new Map(rows.map(({ rating, detail }) => [rating, detail]));
  }
}
