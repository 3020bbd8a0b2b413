import type pg from 'pg';
import type { Queryable } from '../connection/database.js';

/** What a dump says of itself, in `dump.json`. */
export interface DumpManifest {
  format: 1;
  madeAt: string;
  migrations: { number: number; name: string; checksum: string }[];
  tables: DumpedTable[];
}

export interface DumpedTable {
  name: string;
  columns: string[];
  rows: number;
  /** Of a table that is divided by time: its first and last moment; null: it has no rows. */
  span?: { from: string; to: string } | null;
}

export const manifestName = 'dump.json';
export const fileOf = (table: string): string => `${table}.copy.gz`;

/** A folder that is no dump, does not fit this version, or a database that a dump cannot go into. */
export class DumpError extends Error {
  override name = 'DumpError';
}

export const migrationsOf = async (by: Queryable): Promise<DumpManifest['migrations']> =>
  (
    await by.query<DumpManifest['migrations'][number]>(
      'select number, name, checksum from schema_migration order by number',
    )
  ).rows;

/**
 * Every table of ours but the record of migrations, and its columns without those that are computed and without numbers of
 * transactions (xid8), which mean nothing in another database.
 */
export async function tablesOf(by: Queryable): Promise<{ name: string; columns: string[] }[]> {
  const { rows } = await by.query<{ name: string; columns: string[] }>(
    `select c.relname as name, array_agg(a.attname::text order by a.attnum) as columns
       from pg_class c join pg_attribute a on a.attrelid = c.oid and a.attnum > 0 and not a.attisdropped and a.attgenerated = ''
             and a.atttypid <> 'xid8'::regtype
      where c.relnamespace = current_schema()::regnamespace and c.relkind in ('r', 'p') and not c.relispartition
        and c.relname <> 'schema_migration'
      group by c.relname order by c.relname`,
  );
  return rows;
}

/** Names of tables, each after those that it refers to. */
export async function inOrderOfReference(by: Queryable, names: readonly string[]): Promise<string[]> {
  const { rows } = await by.query<{ from: string; to: string }>(
    `select distinct f.relname as "from", t.relname as "to"
       from pg_constraint k join pg_class f on f.oid = k.conrelid join pg_class t on t.oid = k.confrelid
      where k.contype = 'f' and f.oid <> t.oid and f.relnamespace = current_schema()::regnamespace`,
  );
  const ordered: string[] = [];
  const visit = (name: string): void => {
    if (ordered.includes(name)) return;
    for (const { to } of rows.filter(({ from }) => from === name)) visit(to);
    ordered.push(name);
  };
  names.forEach(visit);
  return ordered.filter((name) => names.includes(name));
}

export const quoted = (client: pg.PoolClient, names: readonly string[]): string =>
  names.map((name) => client.escapeIdentifier(name)).join(', ');
