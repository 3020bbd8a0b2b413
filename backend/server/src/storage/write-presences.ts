import type pg from 'pg';
import type { PresenceRow } from './ingest-batch.js';

/**
 * Writes the last presence of each unit and tells which changed. In the order of units, so that two ingesters cannot
 * wait for each other.
 */
export async function writePresences(
  client: pg.PoolClient,
  presences: PresenceRow[],
): Promise<PresenceRow[]> {
  const last = new Map(presences.map((presence) => [presence.unitId, presence]));
  const changed: PresenceRow[] = [];
  for (const presence of [...last.values()].sort((a, b) => a.unitId - b.unitId)) {
    const { rowCount } = await client.query(
      `update unit set online = $2, online_since = to_timestamp($3::float8)
       where id = $1 and online is distinct from $2`,
      [presence.unitId, presence.online, presence.since_ms / 1000],
    );
    if (rowCount) changed.push(presence);
  }
  return changed;
}
