import type { Queryable } from '../index.js';

/** A unit that a person is to be alerted to. */
export interface DueAlert {
  personId: number;
  unitId: number;
  problems: number;
  measures: string;
}

/** A unit whose place has changed since a webhook was told of it. */
export interface DueEvent {
  webhookId: number;
  events: string[];
  unitId: number;
  /** As in `unit_attention`, 3 at most. */
  before: number;
  now: number;
  problems: number;
}

const alertLock = 0x616c_7274;
/** A unit is told once in this time, unless it gets worse. */
const day = `interval '24 hours'`;
/** Nobody is asked to do anything from `watch` on. */
const urgency = 'least(a.urgency, 3)';
const before = 'least(coalesce(t.urgency, 3), 3)';
const worse = `(${urgency} < ${before} or (${urgency} = 0 and t.urgency = 0 and -a.findings > t.problems))`;
const better = `(${urgency} > ${before} and t.told_at <= $1::timestamptz - ${day})`;

/** Who was told what of which unit: the difference to what is so now is what there is to tell. */
export class ToldRepository {
  /** True for the one process at a time that may tell, until the end of its transaction. */
  async mayTell(by: Queryable): Promise<boolean> {
    const { rows } = await by.query<{ free: boolean }>('select pg_try_advisory_xact_lock($1) as free', [
      alertLock,
    ]);
    return rows[0].free;
  }

  /** Forgets, a day after it was told, what is no longer so: coming back is then news again. */
  async forgetAlerts(now: Date, by: Queryable): Promise<void> {
    await by.query(
      `delete from alert_told t using unit_attention a
        where a.unit_id = t.unit_id and a.urgency > 0 and t.told_at <= $1::timestamptz - ${day}`,
      [now],
    );
    await by.query(
      `update alert_told t set problems = -a.findings from unit_attention a
        where a.unit_id = t.unit_id and -a.findings < t.problems and t.told_at <= $1::timestamptz - ${day}`,
      [now],
    );
  }

  /** Units that need a look today, to those who want to hear of it now, the most pressing first; marked as told. */
  async takeAlerts(now: Date, by: Queryable): Promise<DueAlert[]> {
    const { rows } = await by.query<DueAlert>(
      `with recipient as (
         select w.person_id, w.measures, p.site_ids, ($1::timestamptz at time zone w.time_zone)::time as clock,
                w.quiet_from, w.quiet_until
           from notice_wish w join person p on p.id = w.person_id
          where w.alerts and p.active and p.email is not null),
       due as (
         select r.person_id, r.measures, a.unit_id, -a.findings as problems, a.waiting
           from recipient r
           join unit_attention a on a.urgency = 0 and (r.site_ids is null or a.site_id = any(r.site_ids))
           left join alert_told t on t.person_id = r.person_id and t.unit_id = a.unit_id
          where (t.unit_id is null or -a.findings > t.problems)
            and not coalesce(case when r.quiet_from <= r.quiet_until then r.clock >= r.quiet_from and r.clock < r.quiet_until
                                  else r.clock >= r.quiet_from or r.clock < r.quiet_until end, false)),
       told as (
         insert into alert_told (person_id, unit_id, problems, told_at) select person_id, unit_id, problems, $1 from due
         on conflict (person_id, unit_id) do update set problems = excluded.problems, told_at = excluded.told_at)
       select person_id as "personId", measures, unit_id as "unitId", problems from due order by person_id, waiting, unit_id`,
      [now],
    );
    return rows;
  }

  /** What is so when a webhook is made, or made active again, is no news to it. */
  async startFromNow(webhookId: number, by: Queryable): Promise<void> {
    await by.query('delete from webhook_told where webhook_id = $1', [webhookId]);
    await by.query(
      `insert into webhook_told (webhook_id, unit_id, urgency, problems, told_at)
       select $1, a.unit_id, ${urgency}, -a.findings, '-infinity' from unit_attention a`,
      [webhookId],
    );
  }

  /** Changes that webhooks are to be told of: what gets worse at once, what gets better a day after the last word. */
  async takeEvents(now: Date, by: Queryable): Promise<DueEvent[]> {
    const { rows } = await by.query<DueEvent>(
      `with due as (
         select w.id, w.events, a.unit_id, ${before} as before, ${urgency} as now, -a.findings as problems, a.name
           from webhook w cross join unit_attention a
           left join webhook_told t on t.webhook_id = w.id and t.unit_id = a.unit_id
          where w.active and (${worse} or ${better})),
       told as (
         insert into webhook_told (webhook_id, unit_id, urgency, problems, told_at)
         select id, unit_id, now, problems, $1 from due
         on conflict (webhook_id, unit_id) do update
           set urgency = excluded.urgency, problems = excluded.problems, told_at = excluded.told_at)
       select id as "webhookId", events, unit_id as "unitId", before::int, now::int, problems::int
         from due order by id, now, name`,
      [now],
    );
    return rows;
  }
}
