import type pg from 'pg';
import { inTransaction, type Queryable } from '../connection/database.js';
import { resultTables, type ResultTable } from './result-tables.js';
import { telemetryTables, type TelemetryTable, type TelemetryTableName } from './telemetry-tables.js';

/**
 * Who divides the time-series tables by time: TimescaleDB where its extension is there, PostgreSQL's own range
 * partitions where it is not. Both cut at weeks counted from the Unix epoch.
 */
export type TimeSeriesEngine = 'timescaledb' | 'partitions';

const week_ms = 7 * 86_400_000;

/**
 * Creates those of the tables that are not there yet; called with the migrations that bring one, inside their
 * transaction.
 */
export async function createTimeSeries(client: pg.PoolClient): Promise<void> {
  const engine = (await installTimescale(client)) ? 'timescaledb' : 'partitions';
  const { rows } = await client.query<{ name: TelemetryTableName }>(
    `select name from unnest($1::text[]) as name where to_regclass(name) is null`,
    [telemetryTables.map((table) => table.name)],
  );
  const missing = new Set(rows.map((row) => row.name));
  for (const table of telemetryTables.filter(({ name }) => missing.has(name))) {
    await client.query(tableDefinition(table, engine));
    if (engine === 'timescaledb') {
      await client.query(
        `select create_hypertable('${table.name}', 'time', chunk_time_interval => interval '7 days', create_default_indexes => false)`,
      );
      await useColumnstore(client, table.name, table.owner, 'time');
    }
  }
}

/** Creates the tables of results that a migration brings, inside its transaction. */
export async function createResultTables(client: pg.PoolClient, migration: number): Promise<void> {
  const engine = await timeSeriesEngine(client);
  for (const table of resultTables.filter(({ since }) => since === migration)) {
    const { name, time, owner, weeks, columns, indexed = [], divides = false, packed = false } = table;
    await client.query(
      `create table ${name} (${columns}) ${engine === 'partitions' ? `partition by range (${time})` : ''}`,
    );
    for (const column of indexed) await client.query(`create index on ${name} (${column})`);
    if (engine === 'timescaledb') {
      await client.query(
        `select create_hypertable('${name}', '${time}', chunk_time_interval => interval '${7 * weeks} days', create_default_indexes => false)`,
      );
      if (!packed) await useColumnstore(client, name, owner, time);
    }
    if (divides) await moveIn(client, table, engine);
  }
}

/** Moves the rows of a table that was not divided into the one that is. */
async function moveIn(client: pg.PoolClient, { name, time }: ResultTable, engine: TimeSeriesEngine) {
  const { rows: weeks } = await client.query<{ week: number }>(
    `select distinct floor(extract(epoch from ${time}) / 604800)::int as week from ${name}_undivided order by 1`,
  );
  if (engine === 'partitions')
    await attachPartitions(
      client,
      name,
      weeks.map(({ week }) => week),
    );
  const { rows: columns } = await client.query<{ names: string }>(
    `select string_agg(attname, ', ' order by attnum) as names from pg_attribute
      where attrelid = $1::regclass and attnum > 0 and not attisdropped`,
    [name],
  );
  await client.query(
    `insert into ${name} (${columns[0].names}) select ${columns[0].names} from ${name}_undivided`,
  );
  await client.query(`drop table ${name}_undivided`);
}

/**
 * Makes the parts in which rows of now and of the coming weeks lie, for tables whose rows carry the moment of writing.
 * Done at each start and with each retention, so that no transaction meets a missing part: making one from inside it
 * would need a second connection of the pool.
 */
export async function makePartsAhead(pool: pg.Pool, now_ms = Date.now()): Promise<void> {
  const keeper = new PartitionKeeper(pool);
  const week = weekOf(now_ms);
  const stamped = resultTables.filter(({ stampedNow }) => stampedNow);
  const { rows } = await pool.query<{ name: string }>(
    `select relname as name from pg_class where oid in (select to_regclass(unnest($1::text[]))) and relkind = 'p'`,
    [stamped.map(({ name }) => name)],
  );
  const divided = new Set(rows.map(({ name }) => name));
  for (const { name, weeks } of stamped)
    if (divided.has(name)) await keeper.ensure(name, [week - 1, week, week + weeks]);
}

export async function timeSeriesEngine(client: Queryable): Promise<TimeSeriesEngine> {
  const { rows } = await client.query<{ kind: string | null }>(
    `select relkind as kind from pg_class where oid = to_regclass('reading')`,
  );
  return rows[0]?.kind === 'p' ? 'partitions' : 'timescaledb';
}

/**
 * Creating the extension in a server that has not preloaded it ends the connection, so both the files and the
 * preloading are looked at first. A role that may not create extensions gets partitions.
 */
async function installTimescale(client: pg.PoolClient): Promise<boolean> {
  const { rows } = await client.query<{ installed: boolean; possible: boolean }>(
    `select exists (select from pg_extension where extname = 'timescaledb') as installed,
            exists (select from pg_available_extensions where name = 'timescaledb')
              and coalesce(current_setting('shared_preload_libraries', true), '') like '%timescaledb%' as possible`,
  );
  if (rows[0].installed) return true;
  if (!rows[0].possible) return false;
  await client.query('savepoint extension');
  try {
    await client.query('create extension if not exists timescaledb');
    return true;
  } catch {
    await client.query('rollback to savepoint extension');
    return false;
  }
}

function tableDefinition(table: TelemetryTable, engine: TimeSeriesEngine): string {
  const columns = [
    ...table.columns.map((column) => `${column.name} ${column.type}`),
    ...table.differences.map((column) => `${column.name} real`),
  ];
  // No foreign key to the owner: its check would be one more look-up per row, and owners are never deleted.
  return `create table ${table.name} (
    ${table.owner} integer not null,
    time timestamptz not null,
    ${columns.join(',\n    ')},
    primary key (${table.owner}, time)
  ) ${engine === 'partitions' ? 'partition by range (time)' : ''}`;
}

/** Column storage for weeks that are past, which the licence of some builds leaves out. */
async function useColumnstore(
  client: pg.PoolClient,
  table: string,
  owner: string,
  time: string,
): Promise<void> {
  const { rows } = await client.query<{ licence: string | null }>(
    `select current_setting('timescaledb.license', true) as licence`,
  );
  if (rows[0].licence !== 'timescale') return;
  await client.query(
    `alter table ${table} set (timescaledb.compress, timescaledb.compress_segmentby = '${owner}', timescaledb.compress_orderby = '${time}')`,
  );
  await client.query(`select add_compression_policy('${table}', interval '14 days')`);
}

/** A table that is divided by time: its column of time, and how many weeks one part holds. */
interface DividedTable {
  name: string;
  time: string;
  weeks: number;
  /** Which retention its parts follow. */
  retention: 'readings' | 'results';
}

export const dividedTables: readonly DividedTable[] = [
  ...telemetryTables.map(({ name }) => ({ name, time: 'time', weeks: 1, retention: 'readings' as const })),
  ...resultTables.map(({ name, time, weeks, retention = 'results' as const }) => ({
    ...{ name, time, weeks, retention },
  })),
];

/** Beginning of the week, and so of the part of telemetry, in which a moment lies. */
export const weekStart_ms = (time_ms: number): number => weekOf(time_ms) * week_ms;

const weekOf = (time_ms: number) => Math.floor(time_ms / week_ms);
const weeksIn = (table: string) => dividedTables.find(({ name }) => name === table)?.weeks ?? 1;
/** First week of the part in which a week lies. */
const firstWeek = (table: string, week: number) => Math.floor(week / weeksIn(table)) * weeksIn(table);
const partitionName = (table: string, week: number) =>
  `${table}_${new Date(firstWeek(table, week) * week_ms).toISOString().slice(0, 10).replaceAll('-', '')}`;

/**
 * Makes partitions ahead of the rows that need them. There is no default partition: rows in it would block the
 * creation of the right one later. Known weeks are remembered, so that the common case costs no query.
 */
export class PartitionKeeper {
  private readonly known = new Set<string>();
  private engine: TimeSeriesEngine | undefined;

  constructor(private readonly pool: pg.Pool) {}

  /** Call before the transaction that writes: partitions are committed by themselves, so that no lock is kept. */
  async ensure(table: string, weeks: Iterable<number>): Promise<void> {
    const missing = [...weeks].filter((week) => !this.known.has(partitionName(table, week)));
    if (missing.length === 0) return;
    this.engine ??= await timeSeriesEngine(this.pool);
    if (this.engine === 'partitions') await createPartitions(this.pool, table, missing);
    for (const week of missing) this.known.add(partitionName(table, week));
  }

  /** After a write failed for want of a partition (retention dropped it): look again. */
  forget(): void {
    this.known.clear();
  }
}

export function weeksOf(times_ms: ArrayLike<number>, into = new Set<number>()): Set<number> {
  let last = NaN;
  for (let i = 0; i < times_ms.length; i++) {
    const week = weekOf(times_ms[i]);
    if (week !== last) into.add((last = week));
  }
  return into;
}

async function createPartitions(pool: pg.Pool, table: string, weeks: number[]): Promise<void> {
  const client = await pool.connect();
  let failure: Error | undefined;
  try {
    await client.query('begin');
    // Two ingesters may meet the same new week: one waits and then finds it made.
    await client.query('select pg_advisory_xact_lock($1, hashtext($2))', [0x7061_7274, table]);
    await attachPartitions(client, table, weeks);
    await client.query('commit');
  } catch (error) {
    failure = error as Error;
    throw error;
  } finally {
    client.release(failure);
  }
}

async function attachPartitions(client: pg.PoolClient, table: string, weeks: number[]): Promise<void> {
  for (const week of weeks.sort((a, b) => a - b)) {
    const name = partitionName(table, week);
    const { rows } = await client.query<{ there: boolean }>('select to_regclass($1) is not null as there', [
      name,
    ]);
    if (rows[0].there) continue;
    const first = firstWeek(table, week);
    const [from, to] = [first, first + weeksIn(table)].map((edge) => new Date(edge * week_ms).toISOString());
    // Attaching takes a lock that readers and writers do not notice; `create … partition of` would stop them.
    await client.query(`create table ${name} (like ${table} including defaults including constraints)`);
    await client.query(
      `alter table ${table} attach partition ${name} for values from ('${from}') to ('${to}')`,
    );
  }
}

export interface Retention {
  /** Days of samples to keep; null keeps them for ever. */
  readings_days: number | null;
  /** Days of what was found from them: judged windows, rollups, closings, findings that ended. */
  results_days: number | null;
  unreadMessages_days: number | null;
}

/**
 * Drops whole weeks that lie before the horizon, as chunks or partitions, and old unread messages. Safe to run in
 * several processes; returns the names of what was dropped.
 */
export async function applyRetention(
  pool: pg.Pool,
  retention: Retention,
  now = new Date(),
): Promise<string[]> {
  const dropped: string[] = [];
  const engine = await timeSeriesEngine(pool);
  await makePartsAhead(pool, now.getTime());
  if (retention.results_days !== null)
    await carryForward(pool, new Date(now.getTime() - retention.results_days * 86_400_000));
  for (const table of dividedTables) {
    const days = table.retention === 'readings' ? retention.readings_days : retention.results_days;
    if (days === null) continue;
    const horizon = new Date(now.getTime() - days * 86_400_000);
    dropped.push(
      ...(engine === 'timescaledb'
        ? await dropChunks(pool, table.name, horizon)
        : await dropPartitions(pool, table.name, horizon)),
    );
  }
  if (retention.results_days !== null) await dropOldFindings(pool, retention.results_days);
  if (retention.unreadMessages_days !== null) {
    const horizon = new Date(now.getTime() - retention.unreadMessages_days * 86_400_000);
    await pool.query('delete from unread_message where received_at < $1', [horizon]);
    await pool.query('delete from unread_count where last_at < $1', [horizon]);
  }
  // No broker sends a pack again after its sessions have ended.
  await pool.query(`delete from relative_pack where resolved_at < now() - interval '8 days'`);
  return dropped;
}

/**
 * What is open, or ended later, keeps its state at the beginning of the first part that stays, where the part before it
 * is about to go: a round of the past is ranked from these rows.
 */
async function carryForward(pool: pg.Pool, horizon: Date): Promise<void> {
  for (const kept of ['finding', 'diagnosis']) {
    const table = `${kept}_change`;
    const week = firstWeek(table, weekOf(horizon.getTime()));
    const columns =
      kept === 'finding'
        ? 'urgency, certainty, waiting, document'
        : 'cause, urgency, certainty, weight, waiting, document';
    const { rows } = await pool.query<{ old: boolean }>(
      `select exists (select from ${table} where changed_at < $1) as old`,
      [new Date(week * week_ms)],
    );
    if (!rows[0].old) continue;
    await new PartitionKeeper(pool).ensure(table, [week]);
    await pool.query(
      `insert into ${table} (${kept}_id, changed_at, ${columns})
       select distinct on (c.${kept}_id) c.${kept}_id, $1, ${columns
         .split(', ')
         .map((column) => `c.${column}`)
         .join(', ')}
         from ${table} c join ${kept} k on k.id = c.${kept}_id
        where c.changed_at < $1 and (k.ended_at is null or k.ended_at > $1)
        order by c.${kept}_id, c.changed_at desc
       on conflict do nothing`,
      [new Date(week * week_ms)],
    );
  }
}

/** Findings and diagnoses that ended, and reviews: few, so row by row, along their indexes. */
async function dropOldFindings(pool: pg.Pool, days: number): Promise<void> {
  const past = `now() - $1 * interval '1 day'`;
  await pool.query(`delete from power_loss_review where lost_at < ${past}`, [days]);
  await pool.query(`delete from not_judged where starts_at < ${past}`, [days]);
  for (const kept of ['finding', 'diagnosis'])
    await pool.query(`delete from ${kept} where ended_at < ${past}`, [days]);
}

async function dropChunks(pool: pg.Pool, table: string, horizon: Date): Promise<string[]> {
  const { rows } = await pool.query<{ name: string }>(
    'select drop_chunks($1::regclass, older_than => $2::timestamptz) as name',
    [table, horizon],
  );
  return rows.map((row) => row.name);
}

async function dropPartitions(pool: pg.Pool, table: string, horizon: Date): Promise<string[]> {
  const { rows } = await pool.query<{ name: string }>(
    `select inhrelid::regclass::text as name from pg_inherits where inhparent = $1::regclass order by 1`,
    [table],
  );
  const firstKept = partitionName(table, weekOf(horizon.getTime()));
  const old = rows.map((row) => row.name).filter((name) => name < firstKept);
  for (const name of old) await pool.query(`drop table if exists ${name}`);
  return old;
}

/** Drops the partitions or chunks before a moment from which every row was moved away. */
export async function dropEmptyParts(
  pool: pg.Pool,
  table: TelemetryTableName,
  before: Date,
): Promise<string[]> {
  const parts =
    (await timeSeriesEngine(pool)) === 'partitions'
      ? await partitionsBefore(pool, table, before)
      : await chunksBefore(pool, table, before);
  const dropped: string[] = [];
  for (const part of parts) {
    const { rowCount } = await pool.query(`select from ${part.name} limit 1`);
    if (rowCount === 0 && (await dropIfEmpty(pool, part))) dropped.push(part.name);
  }
  return dropped;
}

/** A partition or chunk of telemetry, and the statement that drops it. */
interface Part {
  name: string;
  drop: string;
}

async function partitionsBefore(pool: pg.Pool, table: TelemetryTableName, before: Date): Promise<Part[]> {
  const { rows } = await pool.query<{ name: string }>(
    `select inhrelid::regclass::text as name from pg_inherits where inhparent = $1::regclass order by 1`,
    [table],
  );
  const firstKept = partitionName(table, weekOf(before.getTime()));
  return rows
    .filter(({ name }) => name < firstKept)
    .map(({ name }) => ({ name, drop: `drop table ${name}` }));
}

/**
 * Chunks are dropped by `drop_chunks` over exactly their range, which the edition under the Apache licence has too: a plain DROP TABLE
 * would leave TimescaleDB's catalogue of them behind.
 */
async function chunksBefore(pool: pg.Pool, table: TelemetryTableName, before: Date): Promise<Part[]> {
  const { rows } = await pool.query<Part>(
    `select format('%I.%I', chunk_schema, chunk_name) as name,
            format('select drop_chunks(%L::regclass, older_than => %L::timestamptz, newer_than => %L::timestamptz)',
                   $1, range_end, range_start) as drop
       from timescaledb_information.chunks where hypertable_name = $1 and range_end <= $2 order by range_start`,
    [table, before],
  );
  return rows;
}

/** Looks again with the partition or chunk locked: late rows may have come. Whoever writes to it just now goes first. */
async function dropIfEmpty(pool: pg.Pool, { name, drop }: Part): Promise<boolean> {
  try {
    return await inTransaction(pool, async (client) => {
      await client.query(`set local lock_timeout = '2s'`);
      await client.query(`lock table ${name} in access exclusive mode`);
      const { rowCount } = await client.query(`select from ${name} limit 1`);
      if (rowCount !== 0) return false;
      await client.query(drop);
      return true;
    });
  } catch (error) {
    // 55P03: the lock was not had in time; 42P01: another process dropped it.
    if (['55P03', '42P01'].includes((error as pg.DatabaseError).code ?? '')) return false;
    throw error;
  }
}
