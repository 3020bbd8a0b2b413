import pg from 'pg';

/** What a repository needs: a pool, or a client inside a transaction. */
export interface Queryable {
  query<Row extends pg.QueryResultRow = pg.QueryResultRow>(
    text: string | pg.QueryConfig,
    values?: unknown[],
  ): Promise<pg.QueryResult<Row>>;
}

export interface PoolOptions {
  /** Most connections at once. Default 10. */
  max?: number;
  /** Shown in `pg_stat_activity`. */
  applicationName?: string;
}

/**
 * A pool of connections. Times come back as `Date`, `bigint` as number (ids and counts stay far below 2^53),
 * `real` and `double precision` as number; JSON is parsed.
 *
 * A connection that breaks (the database was stopped) is dropped by the pool and must not end the process, hence the
 * empty `error` listeners: the next query reports it. The pool hears its idle connections alone; one that is handed
 * out breaks unheard until its taker listens, even in the very packet that made it ready (seen when the database was
 * stopped while connecting), so each connection has a listener of its own for life.
 */
export function createPool(databaseUrl: string, options: PoolOptions = {}): pg.Pool {
  const pool = new pg.Pool({
    connectionString: databaseUrl,
    max: options.max ?? 10,
    application_name: options.applicationName ?? 'coldrounds',
    connectionTimeoutMillis: 10_000,
    keepAlive: true,
    types: {
      getTypeParser: ((oid: number, format?: 'text' | 'binary') =>
        oid === pg.types.builtins.INT8 && format !== 'binary'
          ? Number
          : pg.types.getTypeParser(oid, format as 'text')) as typeof pg.types.getTypeParser,
    },
  });
  const unheard = () => {};
  pool.on('error', unheard);
  pool.on('connect', (client) => client.on('error', unheard));
  return pool;
}

/**
 * The one handle to the store that services' repositories are given. Injected by its class:
 * `constructor(@Inject(Database) private readonly database: Database)`.
 */
export class Database implements Queryable {
  constructor(readonly pool: pg.Pool) {}

  query<Row extends pg.QueryResultRow = pg.QueryResultRow>(
    text: string | pg.QueryConfig,
    values?: unknown[],
  ): Promise<pg.QueryResult<Row>> {
    return this.pool.query<Row>(text as string, values);
  }

  /** Runs `work` in one transaction: committed when it returns, rolled back when it throws. */
  transaction<Result>(work: (client: pg.PoolClient) => Promise<Result>): Promise<Result> {
    return inTransaction(this.pool, work);
  }

  close(): Promise<void> {
    return this.pool.end();
  }
}

export async function inTransaction<Result>(
  pool: pg.Pool,
  work: (client: pg.PoolClient) => Promise<Result>,
): Promise<Result> {
  const client = await pool.connect();
  let broken: Error | undefined;
  // A connection lost between two queries is emitted, not thrown; it must not go back to the pool.
  const onError = (error: Error) => (broken = error);
  client.on('error', onError);
  try {
    await client.query('begin');
    const result = await work(client);
    await client.query('commit');
    return result;
  } catch (error) {
    await client.query('rollback').catch((rollbackError: Error) => (broken ??= rollbackError));
    throw error;
  } finally {
    client.off('error', onError);
    client.release(broken);
  }
}
