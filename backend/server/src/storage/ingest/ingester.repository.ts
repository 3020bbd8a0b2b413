import type { Queryable } from '../connection/database.js';

/** Ingesters that share a subscription, and when each was last heard of. */
export class IngesterRepository {
  constructor(private readonly database: Queryable) {}

  /** Says that this one lives, under its own name. */
  async alive(clientId: string, group: string): Promise<void> {
    await this.database.query(
      `insert into ingester (client_id, shared_group) values ($1, $2)
       on conflict (client_id) do update set shared_group = excluded.shared_group, heard_at = now(), taken_by = null`,
      [clientId, group],
    );
  }

  /** Those of the group that were not heard of for so long, now to be replaced by this one. */
  async takeDead(clientId: string, group: string, deadAfter_s: number): Promise<string[]> {
    const { rows } = await this.database.query<{ client_id: string }>(
      `update ingester set heard_at = now(), taken_by = $1
        where client_id in (select client_id from ingester
          where shared_group = $2 and client_id <> $1 and heard_at < now() - $3 * interval '1 second'
          for update skip locked)
       returning client_id`,
      [clientId, group, deadAfter_s],
    );
    return rows.map((row) => row.client_id);
  }

  /** One is gone for good: it left, or another has taken over its queue. */
  async forget(clientId: string, takenBy?: string): Promise<void> {
    await this.database.query(
      'delete from ingester where client_id = $1 and ($2::text is null or taken_by = $2)',
      [clientId, takenBy ?? null],
    );
  }
}
