import type { ColdPart } from '../../cold/cold-manifest.js';
import { flagsOf, type TelemetryTable } from '../../schema/telemetry-tables.js';
import { readSamples, type Stores } from './samples.js';

/** The newest row of an owner: its time, and its values by their names; flags as 0 and 1. */
export type LatestRow<Name extends string> = { ownerId: number; time_s: number } & Record<
  Name,
  number | null
>;

/** In the cold store the newest row is looked for in steps of this much before the end of a part. */
const step_s = 86_400;

/**
 * Newest row of each owner that has any, up to `before_s` (in). Asked of PostgreSQL first: the cold store is read only where it has
 * newer rows, which are those of an owner that has sent nothing for long, or of a moment long past.
 */
export async function latestRows<Name extends string>(
  stores: Stores,
  table: TelemetryTable,
  ownerIds: readonly number[],
  names: Record<Name, string>,
  before_s?: number,
): Promise<LatestRow<Name>[]> {
  const flags = flagsOf(table);
  const values = Object.entries<string>(names).map(
    ([name, column]) => `r.${column}${flags.has(column) ? '::int' : ''} as "${name}"`,
  );
  const { rows } = await stores.database.query<LatestRow<Name> & { coldUntil_s: number | null }>(
    `select o.id as "ownerId", ${['extract(epoch from r.time)::float8 as time_s', ...values].join(', ')},
            (select extract(epoch from max(least(last_at, coalesce($2::timestamptz, 'infinity'))))::float8 from cold_part
              where table_name = '${table.name}' and owner_id = o.id and first_at <= coalesce($2, 'infinity')) as "coldUntil_s"
       from unnest($1::int[]) as o(id) left join lateral (
         select * from ${table.name} where ${table.owner} = o.id and ($2::timestamptz is null or time <= $2)
          order by time desc limit 1) r on true`,
    [ownerIds, before_s === undefined ? null : new Date(before_s * 1000)],
  );
  const latest: LatestRow<Name>[] = [];
  for (const { coldUntil_s, ...hot } of rows) {
    const known = (hot.time_s as number | null) === null ? null : (hot as unknown as LatestRow<Name>);
    const old =
      coldUntil_s === null || stores.cold === null || (known !== null && known.time_s > coldUntil_s)
        ? null
        : await latestInCold(stores, table, hot.ownerId, names, coldUntil_s, known?.time_s ?? -Infinity);
    if ((old ?? known) !== null) latest.push((old ?? known)!);
  }
  return latest;
}

/** The newest row from `after_s` up to `until_s` (both in); null: there is none. */
async function latestInCold<Name extends string>(
  stores: Stores,
  table: TelemetryTable,
  ownerId: number,
  names: Record<Name, string>,
  until_s: number,
  after_s: number,
): Promise<LatestRow<Name> | null> {
  const { rows: parts } = await stores.database.query<Pick<ColdPart, 'first_s' | 'last_s'>>(
    `select extract(epoch from first_at)::float8 as first_s, extract(epoch from last_at)::float8 as last_s from cold_part
      where table_name = $1 and owner_id = $2 and first_at <= to_timestamp($3) order by last_at desc`,
    [table.name, ownerId, until_s],
  );
  for (const { first_s, last_s } of parts) {
    // The bounds are of single moments: a microsecond more takes in what lies on them.
    for (
      let to_s = Math.min(until_s, last_s) + 1e-6;
      to_s > Math.max(first_s, after_s) - 1e-6;
      to_s -= step_s
    ) {
      const span = {
        from: new Date(Math.floor((to_s - step_s) * 1000)),
        to: new Date(Math.ceil(to_s * 1000)),
      };
      const owner = { sql: '$1', id: ownerId };
      const { time_s, columns } = await readSamples(stores, table, owner, Object.values<string>(names), span);
      const at = time_s.findLastIndex((time) => time <= until_s);
      if (at < 0 || time_s[at] < after_s) continue;
      const values = Object.keys(names).map((name, column) => [
        name,
        Number.isNaN(columns[column][at]) ? null : shortestSingle(columns[column][at]),
      ]);
      return { ownerId, time_s: time_s[at], ...Object.fromEntries(values) } as LatestRow<Name>;
    }
  }
  return null;
}

/** A single-precision number with the fewest digits that give it, as PostgreSQL writes it. */
function shortestSingle(value: number): number {
  for (let digits = 6; digits < 9; digits++) {
    const short = Number(value.toPrecision(digits));
    if (Math.fround(short) === value) return short;
  }
  return Number(value.toPrecision(9));
}
