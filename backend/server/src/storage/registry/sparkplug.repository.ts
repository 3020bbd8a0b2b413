import type { BornMetric, SparkplugPoint } from '@coldrounds/core';
import type { Database, Queryable } from '../connection/database.js';

/** An edge node, or a device of it (`device` '': the node itself), as it was heard. */
export interface SparkplugNode {
  group: string;
  edge: string;
  device: string;
  alive: boolean | null;
  bornAt: Date | null;
  lastAt: Date;
  messages: number;
  /** Times that its births were asked for. */
  rebirths: number;
  /** Of its newest birth; null: none came. */
  metrics: BornMetric[] | null;
  /** Units that take quantities from it, as `site/unit`. */
  units: string[];
}

const selectNodes = `with mapped as (
    select p->>'group' as group_id, p->>'edge' as edge_node, coalesce(p->>'device', '') as device,
           array_agg(distinct s.key || '/' || u.key) as units
      from unit u join site s on s.id = u.site_id cross join lateral jsonb_array_elements(u.sparkplug) p
     where u.retired_at is null and u.sparkplug <> '[]' group by 1, 2, 3)
  select n.group_id as "group", n.edge_node as edge, n.device, n.alive, n.born_at as "bornAt", n.last_at as "lastAt",
         n.messages, n.rebirths, n.metrics, coalesce(m.units, '{}') as units
    from sparkplug_node n left join mapped m using (group_id, edge_node, device)`;

/** What is heard of Sparkplug B, and which of it is which quantity. */
export class SparkplugRepository {
  constructor(private readonly database: Database) {}

  /** In the order of their names; `free`: those alone that no unit takes anything from. */
  async nodes(limit: number, free = false): Promise<SparkplugNode[]> {
    const { rows } = await this.database.query<SparkplugNode>(
      `${selectNodes} where not $2 or m.units is null order by 1, 2, 3 limit $1`,
      [limit, free],
    );
    return rows;
  }

  async node({
    group,
    edge,
    device,
  }: Pick<SparkplugNode, 'group' | 'edge' | 'device'>): Promise<SparkplugNode | null> {
    const { rows } = await this.database.query<SparkplugNode>(
      `${selectNodes} where n.group_id = $1 and n.edge_node = $2 and n.device = $3`,
      [group, edge, device],
    );
    return rows[0] ?? null;
  }

  /** Of units in service that have any; of these sites alone where keys are given. */
  async points(
    sites: readonly string[] | null,
  ): Promise<{ site: string; unit: string; points: SparkplugPoint[] }[]> {
    const { rows } = await this.database.query<{ site: string; unit: string; points: SparkplugPoint[] }>(
      `select s.key as site, u.key as unit, u.sparkplug as points from unit u join site s on s.id = u.site_id
        where u.retired_at is null and u.sparkplug <> '[]' and ($1::text[] is null or s.key = any($1)) order by 1, 2`,
      [sites],
    );
    return rows;
  }

  /** All points of each unit. */
  async write(
    client: Queryable,
    units: readonly { unitId: number; points: SparkplugPoint[] }[],
  ): Promise<void> {
    await client.query(
      `update unit u set sparkplug = p.points::jsonb from unnest($1::int[], $2::text[]) as p(id, points) where u.id = p.id`,
      [units.map(({ unitId }) => unitId), units.map(({ points }) => JSON.stringify(points))],
    );
  }
}
