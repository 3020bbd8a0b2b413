import type pg from 'pg';
import type { UnreadRow } from './ingest-batch.js';

/** Keeps messages that could not be read, a delivery that came again not twice; tells how many were kept. */
export async function writeUnread(client: pg.PoolClient, messages: UnreadRow[]): Promise<number> {
  let written = 0;
  for (const message of messages) {
    const { rowCount } = await client.query({
      name: 'write-unread',
      text: `insert into unread_message (received_at, topic, payload, reason, detail, delivery)
             select to_timestamp($1::float8), $2, $3, $4, $5, $7::text
             where not $6 or not exists (
               select from unread_message
               where delivery = $7 and topic = $2 and payload = $3
                 and received_at > now() - interval '1 day')`,
      values: [
        message.receivedAt_ms / 1000,
        message.topic,
        message.payload,
        message.reason,
        message.detail,
        message.redelivered,
        message.delivery,
      ],
    });
    written += rowCount ?? 0;
  }
  return written;
}
