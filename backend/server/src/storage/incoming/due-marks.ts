import type pg from 'pg';
import type { CommitSummary } from './ingest-batch.js';
import { window_ms, type Touched } from './touched-windows.js';

/**
 * Marks windows as due in the transaction that changes their rows: an assessor that takes a mark away does so either
 * before this commit, and finds it again, or after, and sees the rows. Sorted, so that two ingesters cannot wait for
 * each other. Water belongs to the unit, so it touches the windows of all circuits of the unit.
 */
export async function markWindows(
  client: pg.PoolClient,
  circuits: Touched[],
  units: Touched[],
): Promise<CommitSummary['windows']> {
  if (circuits.length === 0 && units.length === 0) return [];
  const { rows } = await client.query<{ circuit_id: number; start_s: number }>(
    `insert into window_due as due (circuit_id, window_start, touched_at)
     select circuit_id, to_timestamp(w * ${window_ms / 1000}::float8), clock_timestamp() from (
       select circuit_id, w from unnest($1::int[], $2::int[]) as c(circuit_id, w)
       union
       select circuit.id, w from unnest($3::int[], $4::int[]) as u(unit_id, w) join circuit using (unit_id)
     ) as touched order by circuit_id, w
     on conflict (circuit_id, window_start) do update set touched_at = excluded.touched_at
     returning circuit_id, extract(epoch from window_start)::float8 as start_s`,
    [
      circuits.map((entry) => entry.ownerId),
      circuits.map((entry) => entry.window),
      units.map((entry) => entry.ownerId),
      units.map((entry) => entry.window),
    ],
  );
  return rows.map((row) => ({ circuitId: row.circuit_id, windowStart_ms: row.start_s * 1000 }));
}

/** The same for modules; `news` are those that are to be assessed at once. */
export async function markModules(
  client: pg.PoolClient,
  moduleIds: number[],
  news: ReadonlySet<number>,
): Promise<void> {
  if (moduleIds.length === 0) return;
  await client.query(
    `insert into module_due as due (module_id, touched_at, news_at)
     select id, clock_timestamp(), case when news then clock_timestamp() end
       from unnest($1::int[], $2::boolean[]) as m(id, news) order by id
     on conflict (module_id) do update
       set touched_at = excluded.touched_at, news_at = coalesce(excluded.news_at, due.news_at)`,
    [moduleIds, moduleIds.map((id) => news.has(id))],
  );
}
