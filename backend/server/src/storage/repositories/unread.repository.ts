import type { Queryable } from '../connection/database.js';

export interface UnreadRow {
  id: number;
  received_at: Date;
  topic: string;
  reason: string;
  detail: string;
  bytes: number;
  head: Buffer;
}

export interface UnreadCount {
  reason: string;
  kept: number;
  notKept: number;
}

/** Keys of the only sites whose messages may be seen, by the site that their topic or source names; null: all. */
export type SeenSites = readonly string[] | null;

const ofTopic = (parameter: string) =>
  `(${parameter}::text[] is null or split_part(topic, '/', 3) = any(${parameter}))`;
const ofSource = (parameter: string) =>
  `(${parameter}::text[] is null or split_part(source, '/', 1) = any(${parameter}))`;

/** Messages that could not be read, kept whole. */
export class UnreadRepository {
  constructor(private readonly database: Queryable) {}

  async reasons(sites: SeenSites = null): Promise<{ reason: string; count: number }[]> {
    const { rows } = await this.database.query<{ reason: string; count: number }>(
      `select reason, count(*)::int as count from unread_message where ${ofTopic('$1')}
        group by reason order by count desc, reason`,
      [sites],
    );
    return rows;
  }

  /** Messages of which only the number is known: their sender was over its quota. */
  async notKept(
    reason: string | undefined,
    sites: SeenSites = null,
  ): Promise<{ source: string; reason: string; count: number }[]> {
    const { rows } = await this.database.query<{ source: string; reason: string; count: number }>(
      `select source, reason, sum(not_kept)::int as count from unread_count
        where not_kept > 0 and ($1::text is null or reason = $1) and ${ofSource('$2')}
        group by 1, 2 order by 3 desc, 1, 2 limit 100`,
      [reason ?? null, sites],
    );
    return rows;
  }

  /** Of the last day, by the reason: kept in full, and only counted. */
  async lastDay(): Promise<UnreadCount[]> {
    const { rows } = await this.database.query<UnreadCount>(
      `select reason, sum(kept)::int as kept, sum(not_kept)::int as "notKept" from unread_count
        where last_at > now() - interval '24 hours' and day >= current_date - 1 group by reason order by 2 desc, 1`,
    );
    return rows;
  }

  async page(
    reason: string | undefined,
    limit: number,
    offset: number,
    sites: SeenSites = null,
  ): Promise<UnreadRow[]> {
    const { rows } = await this.database.query<UnreadRow>(
      `select id, received_at, topic, reason, detail, length(payload) as bytes, substring(payload from 1 for 240) as head
         from unread_message where ($1::text is null or reason = $1) and ${ofTopic('$4')}
        order by received_at desc, id desc limit $2 offset $3`,
      [reason ?? null, limit, offset, sites],
    );
    return rows;
  }

  async payload(id: string, sites: SeenSites = null): Promise<{ topic: string; payload: Buffer } | null> {
    const { rows } = await this.database.query<{ topic: string; payload: Buffer }>(
      `select topic, payload from unread_message where id = $1::bigint and ${ofTopic('$2')}`,
      [id, sites],
    );
    return rows[0] ?? null;
  }
}
