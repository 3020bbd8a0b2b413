import type pg from 'pg';
import type { UnreadRow } from './ingest-batch.js';

/** Kept whole of each sender, reason and day; the rest is counted. Common practice, no source. */
export const unreadQuota = { messages: 500, bytes: 10_000_000 };

/** Who sent it: the unit that its topic names; all strangers are one, or each could have a quota of its own. */
export function senderOf({
  topic,
  reason,
  source,
}: Pick<UnreadRow, 'topic' | 'reason'> & { source?: string }): string {
  if (source !== undefined) return source.slice(0, 200);
  if (/^unknown-(topic|site|unit)$/.test(reason) || topic.startsWith('spBv1.0/')) return 'unknown';
  const [, , site, unit] = topic.split('/');
  return site && unit ? `${site}/${unit}`.slice(0, 200) : 'unknown';
}

interface Group {
  source: string;
  reason: string;
  rows: UnreadRow[];
}

/**
 * Keeps messages that could not be read, a delivery that came again not twice, up to the quota of their sender; tells
 * how many were kept.
 */
export async function writeUnread(client: pg.PoolClient, messages: UnreadRow[]): Promise<number> {
  if (messages.length === 0) return 0;
  const fresh = await withoutRedelivered(client, messages);
  const groups = new Map<string, Group>();
  for (const row of fresh) {
    const source = senderOf(row);
    const key = `${source} ${row.reason}`;
    const group = groups.get(key) ?? { source, reason: row.reason, rows: [] };
    group.rows.push(row);
    groups.set(key, group);
  }
  const whole = new Set<UnreadRow>();
  // In one order everywhere, so that two ingesters cannot wait for each other.
  for (const [, group] of [...groups].sort(([a], [b]) => (a < b ? -1 : 1)))
    for (const row of await withinQuota(client, group)) whole.add(row);
  const kept = fresh.filter((row) => whole.has(row));
  if (kept.length > 0)
    await client.query(
      `insert into unread_message (received_at, topic, payload, reason, detail, delivery)
       select to_timestamp(received_s), topic, payload, reason, detail, delivery
         from unnest($1::float8[], $2::text[], $3::bytea[], $4::text[], $5::text[], $6::text[])
              as u(received_s, topic, payload, reason, detail, delivery)`,
      [
        kept.map(({ receivedAt_ms }) => receivedAt_ms / 1000),
        kept.map(({ topic }) => topic),
        kept.map(({ payload }) => payload),
        kept.map(({ reason }) => reason),
        kept.map(({ detail }) => detail),
        kept.map(({ delivery }) => delivery),
      ],
    );
  return kept.length;
}

/** Leaves out what was kept before its connection began, under the same delivery: only that can be a redelivery. */
async function withoutRedelivered(client: pg.PoolClient, messages: UnreadRow[]): Promise<UnreadRow[]> {
  const doubtful = messages.filter(({ redelivered, delivery }) => redelivered && delivery !== null);
  if (doubtful.length === 0) return messages;
  const { rows } = await client.query<{ n: number }>(
    `select d.n from unnest($1::text[], $2::text[], $3::bytea[], $4::float8[]) with ordinality as d(delivery, topic, payload, connected_s, n)
      where exists (select from unread_message u
        where u.delivery = d.delivery and u.received_at < to_timestamp(d.connected_s)
          and u.received_at > now() - interval '7 days' and u.topic = d.topic and u.payload = d.payload)`,
    [
      doubtful.map(({ delivery }) => delivery),
      doubtful.map(({ topic }) => topic),
      doubtful.map(({ payload }) => payload),
      doubtful.map(({ connectedAt_ms }) => connectedAt_ms / 1000),
    ],
  );
  const known = new Set(rows.map(({ n }) => doubtful[n - 1]));
  const last = new Map<string, UnreadRow>();
  return messages.filter((message) => {
    const earlier = message.delivery === null ? undefined : last.get(message.delivery);
    if (message.delivery !== null) last.set(message.delivery, message);
    return !known.has(message) && !(earlier !== undefined && isRedelivery(message, earlier));
  });
}

/** Whether a message is one of the same batch again, which waited while its connection was lost. */
const isRedelivery = (message: UnreadRow, earlier: UnreadRow): boolean =>
  message.redelivered &&
  earlier.receivedAt_ms < message.connectedAt_ms &&
  earlier.topic === message.topic &&
  earlier.payload.equals(message.payload);

async function withinQuota(client: pg.PoolClient, { source, reason, rows }: Group): Promise<UnreadRow[]> {
  const last_s = Math.max(...rows.map(({ receivedAt_ms }) => receivedAt_ms)) / 1000;
  const before = await client.query<{ kept: number; kept_bytes: number }>(
    `insert into unread_count as c (day, source, reason, last_at)
     values (current_date, $1, $2, to_timestamp($3)) on conflict (day, source, reason) do update
       set last_at = greatest(c.last_at, excluded.last_at) returning kept, kept_bytes`,
    [source, reason, last_s],
  );
  let { kept, kept_bytes: bytes } = before.rows[0];
  const whole = rows.filter(({ payload }) => {
    if (kept >= unreadQuota.messages || bytes + payload.length > unreadQuota.bytes) return false;
    kept++;
    bytes += payload.length;
    return true;
  });
  await client.query(
    `update unread_count set kept = $3, kept_bytes = $4, not_kept = not_kept + $5
      where day = current_date and source = $1 and reason = $2`,
    [source, reason, kept, bytes, rows.length - whole.length],
  );
  return whole;
}
