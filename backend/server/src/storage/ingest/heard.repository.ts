import type { Database } from '../connection/database.js';

export interface HeardTopic {
  topic: string;
  site: string;
  unit: string;
  firstAt: Date;
  lastAt: Date;
  messages: number;
  kept: number;
  siteKnown: boolean;
  unitKnown: boolean;
  retired: boolean;
}

export interface WaitingMessage {
  id: number;
  topic: string;
  receivedAt: Date;
  payload: Buffer;
}

/** Telemetry whose sender is not registered. */
export class HeardRepository {
  constructor(private readonly database: Database) {}

  /** Topics by site and unit; of these sites alone where keys are given. */
  async topics(sites: readonly string[] | null, limit: number): Promise<HeardTopic[]> {
    const { rows } = await this.database.query<HeardTopic>(
      `select h.topic, h.site, h.unit, h.first_at as "firstAt", h.last_at as "lastAt", h.messages, h.kept,
              s.id is not null as "siteKnown", u.id is not null as "unitKnown", u.retired_at is not null as retired
         from heard_topic h left join site s on s.key = h.site left join unit u on u.site_id = s.id and u.key = h.unit
        where $1::text[] is null or h.site = any($1) order by h.site, h.unit, h.topic limit $2`,
      [sites, limit],
    );
    return rows;
  }

  /** The newest messages of each of these topics, newest first. */
  async newest(topics: readonly string[], limit: number): Promise<WaitingMessage[]> {
    const { rows } = await this.database.query<WaitingMessage>(
      `select m.id, m.topic, m.received_at as "receivedAt", m.payload
         from unnest($1::text[]) as t(topic) cross join lateral (
           select id, topic, received_at, payload from waiting_message w
            where w.topic = t.topic order by id desc limit $2) m`,
      [topics, limit],
    );
    return rows;
  }

  /** Units with waiting messages that are registered and in service. */
  async nowKnown(): Promise<{ site: string; unit: string }[]> {
    const { rows } = await this.database.query<{ site: string; unit: string }>(
      `select distinct h.site, h.unit from heard_topic h join site s on s.key = h.site
         join unit u on u.site_id = s.id and u.key = h.unit where u.retired_at is null order by 1, 2`,
    );
    return rows;
  }

  /** Waiting messages of a unit after number `after`, oldest first. */
  async waiting(of: { site: string; unit: string }, after: number, limit: number): Promise<WaitingMessage[]> {
    const { rows } = await this.database.query<WaitingMessage>(
      `select id, topic, received_at as "receivedAt", payload from waiting_message
        where site = $1 and unit = $2 and id > $3 order by id limit $4`,
      [of.site, of.unit, after, limit],
    );
    return rows;
  }

  /** Messages were read in: neither waiting nor unread any more. */
  async readIn(ids: readonly number[]): Promise<void> {
    await this.database.transaction(async (client) => {
      const { rows } = await client.query<{ topic: string }>(
        `with gone as (delete from waiting_message where id = any($1) returning topic)
         select distinct topic from gone`,
        [ids],
      );
      const topics = rows.map(({ topic }) => topic);
      await client.query(
        `delete from heard_topic h where topic = any($1)
           and not exists (select from waiting_message w where w.topic = h.topic)`,
        [topics],
      );
      await client.query(
        `delete from unread_message where topic = any($1) and reason like 'unknown-%'
           and not exists (select from heard_topic h where h.topic = unread_message.topic)`,
        [topics],
      );
    });
  }

  async dropOlder(days: number): Promise<void> {
    await this.database.query(
      `delete from waiting_message where received_at < now() - $1 * interval '1 day'`,
      [days],
    );
    await this.database.query(`delete from heard_topic where last_at < now() - $1 * interval '1 day'`, [
      days,
    ]);
    // Its births tell what a unit may take, so what is known of an edge node outlasts its silence by a while.
    await this.database.query(`delete from sparkplug_node where last_at < now() - interval '90 days'`);
  }
}
