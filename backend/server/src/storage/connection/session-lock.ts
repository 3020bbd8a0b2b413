import type pg from 'pg';

/**
 * One of several processes at a time does something: the one that holds an advisory lock of the database, on a connection
 * of its own. The lock lasts as long as the connection, so a process that dies gives it up.
 *
 * @param onHeld called when it is had, and `onLost` when it is not any more
 */
export class SessionLock {
  private stopped = false;
  private held: pg.PoolClient | null = null;
  private timer: NodeJS.Timeout | undefined;

  constructor(
    private readonly pool: pg.Pool,
    private readonly name: string,
    private readonly events: { onHeld: () => void; onLost: () => Promise<void> },
    private readonly retryAfter_ms = 2_000,
  ) {}

  start(): void {
    void this.tryOnce();
  }

  async stop(): Promise<void> {
    this.stopped = true;
    clearTimeout(this.timer);
    const { held } = this;
    this.held = null;
    if (held === null) return;
    await this.events.onLost();
    // With its connection the lock goes.
    held.release(true);
  }

  private async tryOnce(): Promise<void> {
    let client: pg.PoolClient | undefined;
    try {
      client = await this.pool.connect();
      const { rows } = await client.query<{ free: boolean }>(
        `select pg_try_advisory_lock(hashtext('coldrounds'), hashtext($1)) as free`,
        [this.name],
      );
      if (rows[0].free && !this.stopped) {
        this.held = client;
        client.once('error', () => void this.lost(client!));
        this.events.onHeld();
        return;
      }
      client.release(rows[0].free);
    } catch {
      client?.release(true);
    }
    this.again();
  }

  private async lost(client: pg.PoolClient): Promise<void> {
    if (this.held !== client) return;
    this.held = null;
    client.release(true);
    await this.events.onLost();
    this.again();
  }

  private again(): void {
    if (!this.stopped) this.timer = setTimeout(() => void this.tryOnce(), this.retryAfter_ms).unref();
  }
}
