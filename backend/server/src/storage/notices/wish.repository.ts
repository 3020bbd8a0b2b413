import { Database, type Queryable } from '../index.js';

export interface WishRow {
  digestAt: string | null;
  digestDays: number[];
  alerts: boolean;
  quietFrom: string | null;
  quietUntil: string | null;
  timeZone: string;
  measures: string;
}

/** Somebody whose digest is due. */
export interface DueDigest {
  personId: number;
  name: string;
  /** Keys of the sites that the person is limited to; null: all. */
  sites: string[] | null;
  measures: string;
  timeZone: string;
  /** When the digest before this was due; null: this is the first. */
  before: Date | null;
}

const hours = (column: string) => `to_char(${column}, 'HH24:MI')`;
const local = (now: string) => `(${now}::timestamptz at time zone w.time_zone)`;

/** What people want to be told. Moments are handed in, so that a day can be lived through in a test. */
export class WishRepository {
  constructor(private readonly database: Database) {}

  async of(personId: number): Promise<WishRow | null> {
    const { rows } = await this.database.query<WishRow>(
      `select ${hours('digest_at')} as "digestAt", digest_days as "digestDays", alerts,
              ${hours('quiet_from')} as "quietFrom", ${hours('quiet_until')} as "quietUntil",
              time_zone as "timeZone", measures from notice_wish where person_id = $1`,
      [personId],
    );
    return rows[0] ?? null;
  }

  /**
   * Keeps what a person wants. A digest whose time is over today comes from the next day on, and what needs a look already when
   * alerts are switched on is not told again.
   */
  async keep(personId: number, wish: WishRow, now: Date): Promise<void> {
    await this.database.transaction(async (client) => {
      const before = await client.query<{ alerts: boolean }>(
        'select alerts from notice_wish where person_id = $1 for update',
        [personId],
      );
      await client.query(
        `insert into notice_wish as w (person_id, digest_at, digest_days, alerts, quiet_from, quiet_until, time_zone, measures, digest_on)
         values ($1, $2::time, $3, $4, $5::time, $6::time, $7::text, $8,
                 case when ($9::timestamptz at time zone $7)::time >= $2::time then ($9::timestamptz at time zone $7)::date end)
         on conflict (person_id) do update set digest_at = excluded.digest_at, digest_days = excluded.digest_days,
           alerts = excluded.alerts, quiet_from = excluded.quiet_from, quiet_until = excluded.quiet_until,
           time_zone = excluded.time_zone, measures = excluded.measures,
           digest_on = greatest(w.digest_on, excluded.digest_on)`,
        [
          personId,
          wish.digestAt,
          wish.digestDays,
          wish.alerts,
          wish.quietFrom,
          wish.quietUntil,
          wish.timeZone,
          wish.measures,
          now,
        ],
      );
      if (wish.alerts && before.rows[0]?.alerts !== true)
        await client.query(
          `insert into alert_told (person_id, unit_id, problems, told_at)
           select $1, a.unit_id, -a.findings, '-infinity' from unit_attention a where a.urgency = 0
           on conflict (person_id, unit_id) do update set problems = excluded.problems, told_at = excluded.told_at`,
          [personId],
        );
    });
  }

  /**
   * Takes up to `limit` people whose digest is due at a moment and marks it as written for their day; locked until the
   * end of the transaction, so that no other process writes it too.
   */
  async takeDigests(now: Date, limit: number, by: Queryable): Promise<DueDigest[]> {
    const { rows } = await by.query<DueDigest>(
      `with due as (
         select w.person_id, w.digest_on from notice_wish w join person p on p.id = w.person_id
          where w.digest_at is not null and p.active and p.email is not null
            and ${local('$1')}::time >= w.digest_at
            and extract(isodow from ${local('$1')})::smallint = any(w.digest_days)
            and (w.digest_on is null or w.digest_on < ${local('$1')}::date)
          order by w.person_id limit $2 for update of w skip locked)
       update notice_wish w set digest_on = ${local('$1')}::date from due, person p
        where w.person_id = due.person_id and p.id = w.person_id
        returning w.person_id as "personId", p.name, w.measures, w.time_zone as "timeZone",
          case when p.site_ids is null then null
               else array(select s.key from site s where s.id = any(p.site_ids) order by s.key) end as sites,
          (due.digest_on + w.digest_at) at time zone w.time_zone as before`,
      [now, limit],
    );
    return rows;
  }
}
