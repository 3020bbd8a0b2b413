import type pg from 'pg';
import type { PresenceRow } from './ingest-batch.js';

/**
 * Writes the newest presence of each unit, by the time in the message and not by its arrival, and tells which changed:
 * a late `offline` that is older than what is known changes nothing.
 */
export async function writePresences(
  client: pg.PoolClient,
  presences: PresenceRow[],
): Promise<PresenceRow[]> {
  if (presences.length === 0) return [];
  const newest = new Map<number, PresenceRow>();
  for (const presence of presences) {
    const known = newest.get(presence.unitId);
    if (known === undefined || presence.since_ms >= known.since_ms) newest.set(presence.unitId, presence);
  }
  const rows = [...newest.values()];
  // Locked in the order of units, so that two ingesters cannot wait for each other.
  const changed = await client.query<{ id: number }>(
    `with told as (
       select u.id, p.online, to_timestamp(p.since_s) as since, u.online is distinct from p.online as changes
         from unnest($1::int[], $2::boolean[], $3::float8[]) as p(id, online, since_s) join unit u using (id)
        where u.presence_at is null or u.presence_at <= to_timestamp(p.since_s)
        order by u.id for update of u)
     update unit u set presence_at = told.since, online = told.online,
            online_since = case when told.changes then told.since else u.online_since end
       from told where u.id = told.id returning case when told.changes then u.id end as id`,
    [
      rows.map(({ unitId }) => unitId),
      rows.map(({ online }) => online),
      rows.map(({ since_ms }) => since_ms / 1000),
    ],
  );
  return changed.rows.flatMap(({ id }) => newest.get(id) ?? []);
}
