import type { Queryable } from '../connection/database.js';

export interface LastHeard {
  unitId: number;
  /** Newest reading of any circuit; null: none ever came. */
  newestReading_s: number | null;
  /** When it came into the registry; null: before that was kept. */
  addedAt_s: number | null;
  online: boolean | null;
  onlineSince_s: number | null;
  /** Usual spacing of the unit's readings as last judged; null: not known. */
  interval_s: number | null;
}

/** When each unit was last heard. */
export class SilenceRepository {
  constructor(private readonly database: Queryable) {}

  async lastHeard(): Promise<Map<number, LastHeard>> {
    const { rows } = await this.database.query<LastHeard>(
      `select u.id as "unitId", extract(epoch from max(r.time))::float8 as "newestReading_s",
              extract(epoch from u.added_at)::float8 as "addedAt_s", u.online,
              extract(epoch from u.online_since)::float8 as "onlineSince_s", min(s.interval_s)::float8 as interval_s
         from unit u join circuit c on c.unit_id = u.id left join circuit_state s on s.circuit_id = c.id
         left join lateral (select time from reading where circuit_id = c.id order by time desc limit 1) r on true
        group by u.id`,
    );
    return new Map(rows.map((row) => [row.unitId, row]));
  }

  /** Units whose past windows were touched by telemetry within the last seconds: their gateways are catching up. */
  async sendingHistory(within_s: number): Promise<Set<number>> {
    const { rows } = await this.database.query<{ unit_id: number }>(
      `select distinct c.unit_id from window_due d join circuit c on c.id = d.circuit_id
        where d.window_start <= now() - interval '2 hours' and d.touched_at > now() - $1 * interval '1 second'`,
      [within_s],
    );
    return new Set(rows.map((row) => row.unit_id));
  }
}
