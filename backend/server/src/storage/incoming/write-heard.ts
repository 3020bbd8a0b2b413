import { parseTopic } from '@coldrounds/core/telemetry';
import type { Queryable } from '../connection/database.js';
import type { UnreadRow } from './ingest-batch.js';

/** Kept of one unit that is not registered, and units of which anything is kept. Common practice, no source. */
export const waitingQuota = { messages: 20_000, bytes: 20_000_000, topics: 20_000 };

const unknownSender = /^unknown-(site|unit|circuit|module)$/;

/** Notes in the transaction of a batch what came from whom, and keeps it up to the quota. */
export async function writeHeard(client: Queryable, unread: readonly UnreadRow[]): Promise<void> {
  const strangers = unread.flatMap((row) => {
    const address = unknownSender.test(row.reason) ? parseTopic(row.topic) : null;
    return address === null ? [] : [{ row, site: address.site, unit: address.unit }];
  });
  if (strangers.length === 0) return;
  const room = await roomOf(client, strangers);
  const kept = strangers.filter(({ row, site, unit }) => {
    const own = room.get(`${site}/${unit}`);
    if (own === undefined || own.messages < 1 || own.bytes < row.payload.length) return false;
    own.messages -= 1;
    own.bytes -= row.payload.length;
    return true;
  });
  const isKept = new Set(kept);
  await client.query(
    `insert into heard_topic as h (topic, site, unit, first_at, last_at, messages, kept, kept_bytes)
     select topic, min(site), min(unit), to_timestamp(min(at_s)), to_timestamp(max(at_s)), count(*), sum(kept), sum(bytes)
       from unnest($1::text[], $2::text[], $3::text[], $4::float8[], $5::int[], $6::int[])
            as n(topic, site, unit, at_s, kept, bytes) group by topic order by topic
     on conflict (topic) do update set last_at = greatest(h.last_at, excluded.last_at),
       messages = h.messages + excluded.messages, kept = h.kept + excluded.kept,
       kept_bytes = h.kept_bytes + excluded.kept_bytes`,
    [
      strangers.map(({ row }) => row.topic),
      strangers.map(({ site }) => site),
      strangers.map(({ unit }) => unit),
      strangers.map(({ row }) => row.receivedAt_ms / 1000),
      strangers.map((one) => (isKept.has(one) ? 1 : 0)),
      strangers.map((one) => (isKept.has(one) ? one.row.payload.length : 0)),
    ],
  );
  if (kept.length === 0) return;
  await client.query(
    `insert into waiting_message (site, unit, topic, received_at, payload)
     select site, unit, topic, to_timestamp(at_s), payload
       from unnest($1::text[], $2::text[], $3::text[], $4::float8[], $5::bytea[]) as n(site, unit, topic, at_s, payload)`,
    [
      kept.map(({ site }) => site),
      kept.map(({ unit }) => unit),
      kept.map(({ row }) => row.topic),
      kept.map(({ row }) => row.receivedAt_ms / 1000),
      kept.map(({ row }) => row.payload),
    ],
  );
}

/** Notes in the transaction of a batch that units were heard for the first time. */
export async function noteFirstHeard(client: Queryable, circuitIds: readonly number[]): Promise<void> {
  await client.query(
    `update unit set heard_at = now()
      where heard_at is null and id in (select unit_id from circuit where id = any($1))`,
    [circuitIds],
  );
}

/** How many messages and bytes may still be kept of each unit. */
async function roomOf(
  client: Queryable,
  strangers: readonly { site: string; unit: string }[],
): Promise<Map<string, { messages: number; bytes: number }>> {
  const units = [...new Map(strangers.map((one) => [`${one.site}/${one.unit}`, one])).values()];
  const { rows: counted } = await client.query<{ topics: number }>(
    'select count(*)::int as topics from heard_topic',
  );
  const full = counted[0].topics >= waitingQuota.topics;
  const { rows } = await client.query<{
    site: string;
    unit: string;
    kept: number | null;
    bytes: number | null;
  }>(
    `select n.site, n.unit, sum(h.kept)::int as kept, sum(h.kept_bytes)::float8 as bytes
       from unnest($1::text[], $2::text[]) as n(site, unit) left join heard_topic h on h.site = n.site and h.unit = n.unit
      group by 1, 2`,
    [units.map(({ site }) => site), units.map(({ unit }) => unit)],
  );
  return new Map(
    rows
      .filter(({ kept }) => !full || kept !== null)
      .map(({ site, unit, kept, bytes }) => [
        `${site}/${unit}`,
        { messages: waitingQuota.messages - (kept ?? 0), bytes: waitingQuota.bytes - (bytes ?? 0) },
      ]),
  );
}
