import pg from 'pg';
import { Database } from '../database.js';

const channel = 'coldrounds';
const retry_ms = 2_000;

/** Short messages between the processes that share a database: what changed, never the data itself. */
export class NotificationRepository {
  constructor(
    private readonly database: Database,
    private readonly databaseUrl: string,
  ) {}

  async send(message: object): Promise<void> {
    await this.database.query('select pg_notify($1, $2)', [channel, JSON.stringify(message)]);
  }

  /** Listens on a connection of its own, and again after the connection was lost. Returns how to stop. */
  listen(heard: (message: unknown) => void): () => Promise<void> {
    let stopped = false;
    let client: pg.Client | undefined;
    let timer: NodeJS.Timeout | undefined;
    const again = () => {
      if (stopped || timer !== undefined) return;
      timer = setTimeout(() => {
        timer = undefined;
        connect();
      }, retry_ms);
    };
    const connect = () => {
      const connection = new pg.Client({
        connectionString: this.databaseUrl,
        application_name: 'coldrounds live',
      });
      client = connection;
      connection.on('error', () => {});
      connection.on('end', again);
      connection.on('notification', ({ payload }) => {
        try {
          heard(JSON.parse(payload ?? ''));
        } catch {
          // Another program may use the channel; what is not ours is left alone.
        }
      });
      connection
        .connect()
        .then(() => connection.query(`listen ${channel}`))
        .catch(() =>
          connection
            .end()
            .catch(() => {})
            .finally(again),
        );
    };
    connect();
    return async () => {
      stopped = true;
      clearTimeout(timer);
      await client?.end().catch(() => {});
    };
  }
}
