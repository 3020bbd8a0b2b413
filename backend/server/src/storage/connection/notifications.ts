import type pg from 'pg';

/** Channels of PostgreSQL's own notifications, by which processes of other roles hear of changes. */
export type Channel =
  'coldrounds_committed' | 'coldrounds_registry' | 'coldrounds_live' | 'coldrounds_gateways';

/**
 * Calls `handler` for each notification until the returned function is called. The connection is made again after a
 * loss; what was notified in between is lost, so a listener must also look by itself now and then.
 */
export function listen(
  pool: pg.Pool,
  channel: Channel,
  handler: (payload: string) => void,
  retryAfter_ms = 2_000,
): () => Promise<void> {
  let stopped = false;
  let current: pg.PoolClient | null = null;
  let timer: NodeJS.Timeout | undefined;

  const connect = async () => {
    let client: pg.PoolClient | undefined;
    // A connection may break while it is made to listen, both as an event and as a failed query: it is given up once.
    let given = false;
    const giveUp = (error: Error) => {
      if (given || stopped) return;
      given = true;
      if (current === client) current = null;
      client?.release(error);
      if (!stopped) timer = setTimeout(() => void connect(), retryAfter_ms).unref();
    };
    try {
      client = await pool.connect();
      if (stopped) return client.release(true);
      current = client;
      // One may be on its way while the connection is closed.
      client.on('notification', (message) => stopped || handler(message.payload ?? ''));
      client.once('error', giveUp);
      await client.query(`listen ${channel}`);
    } catch (error) {
      giveUp(error as Error);
    }
  };
  void connect();
  return async () => {
    stopped = true;
    clearTimeout(timer);
    // A connection that listens must not go back into the pool.
    current?.release(true);
    current = null;
  };
}

export async function notify(client: Pick<pg.Pool, 'query'>, channel: Channel, payload = ''): Promise<void> {
  await client.query('select pg_notify($1, $2)', [channel, payload]);
}
