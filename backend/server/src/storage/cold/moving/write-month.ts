import type { DuckDBConnection } from '@duckdb/node-api';
import type { TelemetryTable } from '../../schema/telemetry-tables.js';
import { numberColumn, storedColumns } from '../cold-tables.js';
import { literal } from '../duck.js';

/** An owner of readings and what it is called now. */
export interface NamedOwner {
  ownerId: number;
  site: string;
  unit: string;
  /** Of the circuit or module in the unit; 0 for a unit itself. */
  number: number;
}

/** What one owner has in a file or a table. */
export interface OwnerSummary {
  ownerId: number;
  rows: number;
  first_us: number;
  last_us: number;
}

/** As `OwnerSummary`, with what tells whether all values came over. */
export interface ValueSummary extends OwnerSummary {
  values: number;
  sum: number;
}

export interface MonthSources {
  /** CSV of the rows to be moved: owner, microseconds since 1970, then the columns of the table. */
  staged: string;
  /** The month's file so far, and the owners in it that count. */
  old: { file: string; ownerIds: readonly number[] } | null;
  owners: readonly NamedOwner[];
}

/**
 * Two days at 10 s. Of the simulator's telemetry with all columns a circuit-day takes 0.128 MB so, and 0.134 MB with groups of 122,880:
 * a group's dictionaries are smaller, and a window is read from less.
 */
const rowGroup_rows = 20_480;

/**
 * Makes the file of a site's month from what is moved and what was there: ordered by owner and time, each time once. A value that
 * the file had stays and a missing one is filled, as where readings are stored.
 */
export async function writeMonth(
  connection: DuckDBConnection,
  table: TelemetryTable,
  { staged, old, owners }: MonthSources,
  target: string,
): Promise<{ staged: ValueSummary[]; written: OwnerSummary[] }> {
  await connection.run(stagedSql(table, staged));
  await connection.run(ownersSql(owners));
  await connection.run(mergedSql(table, old));
  await connection.run(
    `copy (select * from merged) to ${literal(target)} (format parquet, parquet_version v2, compression zstd,
       compression_level 12, row_group_size ${rowGroup_rows}, kv_metadata { coldrounds: ${literal(table.name)} })`,
  );
  return {
    staged: await valuesOfStaged(connection, table),
    written: await summaries(connection, table, 'merged'),
  };
}

/** Whether a file, read back, holds what was to be written: rows, first, last and a checksum of all values of each owner. */
export async function holdsWritten(
  connection: DuckDBConnection,
  table: TelemetryTable,
  file: string,
): Promise<boolean> {
  const [of, from] = [checkedSql(table, 'merged'), checkedSql(table, `read_parquet(${literal(file)})`)];
  const answer = await connection.runAndReadAll(
    `select count(*)::integer from ((${of} except ${from}) union all (${from} except ${of}))`,
  );
  return answer.getRows()[0][0] === 0;
}

/** Makes room for the next month on the same connection. */
export async function forgetMonth(connection: DuckDBConnection): Promise<void> {
  for (const name of ['merged', 'staged', 'owners']) await connection.run(`drop table if exists ${name}`);
}

function stagedSql(table: TelemetryTable, file: string): string {
  const types = storedColumns(table).map(
    ({ name, type }) => `'${name}': '${type === 'real' ? 'FLOAT' : 'BOOLEAN'}'`,
  );
  return `create temp table staged as select * exclude (us), make_timestamp(us)::timestamptz as time
    from read_csv(${literal(file)}, auto_detect = false, header = false, delim = ',', quote = '"', escape = '"', nullstr = '',
      columns = { '${table.owner}': 'INTEGER', 'us': 'BIGINT', ${types.join(', ')} })`;
}

const ownersSql = (owners: readonly NamedOwner[]): string =>
  `create temp table owners as select * from (values ${owners
    .map(
      ({ ownerId, site, unit, number }) => `(${ownerId}, ${literal(site)}, ${literal(unit)}, ${number}::int)`,
    )
    .join(', ')}) as o(id, site, unit, number)`;

function mergedSql(table: TelemetryTable, old: MonthSources['old']): string {
  const { owner } = table;
  const number = numberColumn(table);
  const columns = storedColumns(table).map(({ name }) => name);
  const named = (site: string, unit: string, of: string) =>
    [`${site} as site`, `${unit} as unit`, ...(number === null ? [] : [`${of}::utinyint as ${number}`])].join(
      ', ',
    );
  if (old === null || old.ownerIds.length === 0)
    return `create temp table merged as
      select ${named('o.site', 'o.unit', 'o.number')}, s.${owner}, s.time, ${columns.map((name) => `s.${name}`).join(', ')}
        from staged s join owners o on o.id = s.${owner} order by s.${owner}, s.time`;
  const either = (name: string) => `coalesce(c.${name}, s.${name})`;
  const taken = table.differences.map(
    ({ name, minuend, subtrahend }) =>
      `case when c.${owner} is null then s.${name} when s.${owner} is null then c.${name}
            else coalesce(c.${name}, ${either(minuend)} - ${either(subtrahend)}) end as ${name}`,
  );
  return `create temp table merged as
    select ${named('coalesce(c.site, o.site)', 'coalesce(c.unit, o.unit)', number === null ? '' : `coalesce(c.${number}, o.number)`)},
           ${either(owner)} as ${owner}, ${either('time')} as time,
           ${[...table.columns.map(({ name }) => `${either(name)} as ${name}`), ...taken].join(', ')}
      from (select * from read_parquet(${literal(old.file)}) where ${owner} in (${old.ownerIds.join(', ')})) c
      full join staged s on s.${owner} = c.${owner} and s.time = c.time
      left join owners o on o.id = s.${owner}
     order by ${either(owner)}, ${either('time')}`;
}

const spanSql = (owner: string) =>
  `${owner} as id, count(*)::double as n, epoch_us(min(time))::double as first, epoch_us(max(time))::double as last`;

const checkedSql = (table: TelemetryTable, from: string): string =>
  `select ${spanSql(table.owner)}, bit_xor(hash(site, unit, time, ${storedColumns(table)
    .map(({ name }) => name)
    .join(', ')})) as checksum from ${from} group by ${table.owner}`;

async function summaries(
  connection: DuckDBConnection,
  table: TelemetryTable,
  from: string,
): Promise<OwnerSummary[]> {
  const answer = await connection.runAndReadAll(
    `select ${spanSql(table.owner)} from ${from} group by ${table.owner} order by id`,
  );
  return answer.getRows().map((row) => {
    const [ownerId, rows, first_us, last_us] = row as number[];
    return { ownerId, rows, first_us, last_us };
  });
}

async function valuesOfStaged(connection: DuckDBConnection, table: TelemetryTable): Promise<ValueSummary[]> {
  const columns = storedColumns(table);
  const answer = await connection.runAndReadAll(
    `select ${spanSql(table.owner)}, (${columns.map(({ name }) => `count(${name})`).join(' + ')})::double as present,
            ${sumOfValues(columns, 'double')} as total
       from staged group by ${table.owner} order by id`,
  );
  return answer.getRows().map((row) => {
    const [ownerId, rows, first_us, last_us, values, sum] = row as number[];
    return { ownerId, rows, first_us, last_us, values, sum };
  });
}

/** Sum of all values of a group, flags as 0 and 1; of PostgreSQL and DuckDB the same SQL but for the type's name. */
export const sumOfValues = (
  columns: readonly { name: string; type: string }[],
  double: 'double' | 'float8',
): string =>
  columns
    .map(({ name, type }) => `coalesce(sum(${type === 'boolean' ? `${name}::int` : name}::${double}), 0)`)
    .join(' + ');
