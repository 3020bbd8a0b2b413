import type { Queryable } from '../connection/database.js';
import type { TelemetryTableName } from '../schema/telemetry-tables.js';
import { unfinishedName } from './cold-tables.js';
import type { NamedOwner, OwnerSummary } from './moving/write-month.js';

/** A file as the database knows it. */
export interface ColdFile {
  id: number;
  table: TelemetryTableName;
  name: string;
  settled: boolean;
}

/** A file with its number within the site's month, and of each owner its rows and the days that they span. */
export interface NumberedFile extends ColdFile {
  number: number;
  owners: { ownerId: number; rows: number; days: number }[];
}

/** Readings of one owner in a file. */
export interface ColdPart extends Pick<ColdFile, 'id' | 'name' | 'settled'> {
  ownerId: number;
  rows: number;
  first_s: number;
  last_s: number;
}

/**
 * SQL of the parts of an owner that meet a span, as JSON. It belongs into the same statement as the rows of PostgreSQL, or a move
 * between the two would be seen by neither.
 */
export const partsSql = (table: TelemetryTableName, owner: string, from: string, to: string): string =>
  `(select jsonb_agg(jsonb_build_object('id', f.id, 'name', f.name, 'settled', f.settled, 'ownerId', p.owner_id, 'rows', p.rows,
        'first_s', extract(epoch from p.first_at), 'last_s', extract(epoch from p.last_at)) order by p.first_at, f.id)
      from cold_part p join cold_file f on f.id = p.file_id
     where p.table_name = '${table}' and p.owner_id = ${owner} and p.last_at >= ${from} and p.first_at < ${to})`;

const fileColumns = `id, table_name as "table", name, settled`;

/** Which files there are. What changes several rows is given the transaction of its caller. */
export class ColdManifest {
  constructor(private readonly database: Queryable) {}

  async storeId(): Promise<string> {
    return (await this.database.query<{ id: string }>('select id from cold_store')).rows[0].id;
  }

  async isUsed(): Promise<boolean> {
    const { rows } = await this.database.query<{ used: boolean }>(
      'select exists (select from cold_file) as used',
    );
    return rows[0].used;
  }

  /** Files that a move or a removal left before its end. */
  async unsettled(): Promise<{ settle: ColdFile[]; remove: ColdFile[] }> {
    const { rows } = await this.database.query<ColdFile & { unwanted: boolean }>(
      `select ${fileColumns}, unwanted from cold_file where unwanted or not settled order by id`,
    );
    return {
      settle: rows.filter(({ unwanted }) => !unwanted),
      remove: rows.filter(({ unwanted }) => unwanted),
    };
  }

  async settled(id: number): Promise<void> {
    await this.database.query('update cold_file set settled = true where id = $1', [id]);
  }

  /** Whether a file that is wanted has this name. */
  async isWanted(name: string): Promise<boolean> {
    const { rowCount } = await this.database.query(
      'select from cold_file where name = $1 and not unwanted limit 1',
      [name],
    );
    return rowCount !== 0;
  }

  async removed(id: number): Promise<void> {
    await this.database.query('delete from cold_file where id = $1 and unwanted', [id]);
  }

  /** Marks what is past its retention (months that ended before the horizon), or holds nothing that counts any more. */
  async markUnwanted(horizon: Date | null): Promise<void> {
    await this.database.query(
      `with gone as (
         update cold_file f set unwanted = true
          where not unwanted and ((month + interval '1 month') at time zone 'UTC' <= $1::timestamptz
             or not exists (select from cold_part p where p.file_id = f.id))
         returning id)
       delete from cold_part where file_id in (select id from gone)`,
      [horizon],
    );
  }

  /** The files of a site's month, and whose rows in them count. */
  async filesOf(
    client: Queryable,
    { table, month, siteId }: { table: TelemetryTableName; month: string; siteId: number },
  ): Promise<NumberedFile[]> {
    const { rows } = await client.query<NumberedFile>(
      `select ${fileColumns}, number, coalesce((
           select jsonb_agg(jsonb_build_object('ownerId', owner_id, 'rows', rows,
                    'days', extract(epoch from last_at - first_at) / 86400) order by owner_id)
             from cold_part where file_id = f.id), '[]') as owners
         from cold_file f where table_name = $1 and month = $2 and site_id = $3 and not unwanted order by number`,
      [table, month, siteId],
    );
    return rows;
  }

  async nextId(client: Queryable): Promise<number> {
    const { rows } = await client.query<{ id: number }>(
      `select nextval(pg_get_serial_sequence('cold_file', 'id')) as id`,
    );
    return rows[0].id;
  }

  async record(
    client: Queryable,
    file: ColdFile & {
      number: number;
      month: string;
      siteId: number;
      bytes: number;
      replaces: number | null;
    },
    parts: readonly OwnerSummary[],
  ): Promise<void> {
    if (file.replaces !== null) await client.query('delete from cold_file where id = $1', [file.replaces]);
    await client.query(
      `insert into cold_file (id, table_name, month, site_id, number, name, bytes) values ($1, $2, $3, $4, $5, $6, $7)`,
      [file.id, file.table, file.month, file.siteId, file.number, file.name, file.bytes],
    );
    await client.query(
      `insert into cold_part (file_id, table_name, owner_id, first_at, last_at, rows)
       select $1, $2, owner_id, to_timestamp(first_us / 1e6), to_timestamp(last_us / 1e6), rows
         from unnest($3::int[], $4::float8[], $5::float8[], $6::int[]) as p(owner_id, first_us, last_us, rows)`,
      [
        ...[file.id, file.table],
        ...[parts.map(({ ownerId }) => ownerId), parts.map(({ first_us }) => first_us)],
        ...[parts.map(({ last_us }) => last_us), parts.map(({ rows }) => rows)],
      ],
    );
  }

  /** Circuits, units or modules of a site, as they are called now. */
  async owners(client: Queryable, ownerTable: string, siteId: number): Promise<NamedOwner[]> {
    const { rows } = await client.query<NamedOwner>(
      ownerTable === 'unit'
        ? `select u.id as "ownerId", s.key as site, u.key as unit, 0 as number
             from unit u join site s on s.id = u.site_id where s.id = $1 order by 1`
        : `select o.id as "ownerId", s.key as site, u.key as unit, o.number
             from ${ownerTable} o join unit u on u.id = o.unit_id join site s on s.id = u.site_id where s.id = $1 order by 1`,
      [siteId],
    );
    return rows;
  }
}

/** Names under which a file may lie: as the manifest says, or as it is called a moment later or before. */
export const namesOf = ({ id, name, settled }: Pick<ColdFile, 'id' | 'name' | 'settled'>): string[] =>
  settled ? [name] : [unfinishedName(name, id), name];
