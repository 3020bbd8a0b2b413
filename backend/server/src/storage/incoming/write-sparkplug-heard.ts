import type { Queryable } from '../connection/database.js';
import type { SparkplugHeardRow } from './ingest-batch.js';

/** Edge nodes and devices that are listed, and metrics of a birth that are kept. Common practice, no source. */
export const sparkplugQuota = { nodes: 20_000, metrics: 5_000 };

interface Told extends SparkplugHeardRow {
  first_ms: number;
  messages: number;
  bornAt_ms: number | null;
  /** Null: nothing new. */
  alive: boolean | null;
}

/** Notes in the transaction of a batch which edge nodes and devices were heard, and what their births announce. */
export async function writeSparkplugHeard(
  client: Queryable,
  heard: readonly SparkplugHeardRow[],
): Promise<void> {
  if (heard.length === 0) return;
  const rows = await withinQuota(client, together(heard));
  if (rows.length === 0) return;
  await client.query(
    `insert into sparkplug_node as n (group_id, edge_node, device, first_at, last_at, messages, rebirths, alive, born_at, metrics)
     select group_id, edge_node, device, to_timestamp(first_s), to_timestamp(last_s), messages, rebirths, alive,
            to_timestamp(born_s), metrics::jsonb
       from unnest($1::text[], $2::text[], $3::text[], $4::float8[], $5::float8[], $6::int[], $7::int[], $8::boolean[],
                   $9::float8[], $10::text[])
            as h(group_id, edge_node, device, first_s, last_s, messages, rebirths, alive, born_s, metrics)
     on conflict (group_id, edge_node, device) do update
       set last_at = greatest(n.last_at, excluded.last_at), messages = n.messages + excluded.messages,
           rebirths = n.rebirths + excluded.rebirths, alive = coalesce(excluded.alive, n.alive),
           born_at = coalesce(excluded.born_at, n.born_at), metrics = coalesce(excluded.metrics, n.metrics)`,
    [
      rows.map(({ group }) => group),
      rows.map(({ edge }) => edge),
      rows.map(({ device }) => device),
      rows.map(({ first_ms }) => first_ms / 1000),
      rows.map(({ at_ms }) => at_ms / 1000),
      rows.map(({ messages }) => messages),
      rows.map(({ rebirths }) => rebirths),
      rows.map(({ alive }) => alive),
      rows.map(({ bornAt_ms }) => (bornAt_ms === null ? null : bornAt_ms / 1000)),
      rows.map(({ born }) =>
        born === null ? null : JSON.stringify(born.slice(0, sparkplugQuota.metrics), storable),
      ),
    ],
  );
  const dead = rows.filter(({ device, alive }) => device === '' && alive === false);
  if (dead.length > 0)
    await client.query(
      `update sparkplug_node n set alive = false
         from unnest($1::text[], $2::text[]) as d(group_id, edge_node)
        where n.group_id = d.group_id and n.edge_node = d.edge_node`,
      [dead.map(({ group }) => group), dead.map(({ edge }) => edge)],
    );
}

/** PostgreSQL's JSON holds no zero character. */
const storable = (_key: string, value: unknown) =>
  typeof value === 'string' ? value.replaceAll('\0', '?') : value;

/** One row for each node or device, in one order everywhere, so that two writers cannot wait for each other. */
function together(heard: readonly SparkplugHeardRow[]): Told[] {
  const rows = new Map<string, Told>();
  for (const row of heard) {
    const key = JSON.stringify([row.group, row.edge, row.device]);
    const alive = row.event === 'birth' ? true : row.event === 'death' ? false : null;
    const before = rows.get(key);
    rows.set(key, {
      ...row,
      first_ms: before?.first_ms ?? row.at_ms,
      messages: (before?.messages ?? 0) + 1,
      rebirths: (before?.rebirths ?? 0) + row.rebirths,
      alive: alive ?? before?.alive ?? null,
      born: row.born ?? before?.born ?? null,
      bornAt_ms: row.event === 'birth' ? row.at_ms : (before?.bornAt_ms ?? null),
    });
  }
  return [...rows].sort(([a], [b]) => (a < b ? -1 : 1)).map(([, row]) => row);
}

/** Those that are listed already, and others while there is room. */
async function withinQuota(client: Queryable, rows: Told[]): Promise<Told[]> {
  const { rows: counted } = await client.query<{ nodes: number }>(
    'select count(*)::int as nodes from (select from sparkplug_node limit $1) n',
    [sparkplugQuota.nodes],
  );
  if (counted[0].nodes < sparkplugQuota.nodes) return rows;
  const known = await client.query<{ n: number }>(
    `select h.n::int as n from unnest($1::text[], $2::text[], $3::text[]) with ordinality as h(group_id, edge_node, device, n)
       join sparkplug_node using (group_id, edge_node, device)`,
    [rows.map(({ group }) => group), rows.map(({ edge }) => edge), rows.map(({ device }) => device)],
  );
  return known.rows.map(({ n }) => rows[n - 1]);
}
