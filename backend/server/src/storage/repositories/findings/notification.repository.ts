import { Database } from '../../connection/database.js';
import { listen, notify } from '../../connection/notifications.js';

/** Short messages between the processes that share a database: what changed, never the data itself. */
export class NotificationRepository {
  constructor(private readonly database: Database) {}

  send(message: object): Promise<void> {
    return notify(this.database.pool, 'coldrounds_live', JSON.stringify(message));
  }

  registryChanged(): Promise<void> {
    return notify(this.database.pool, 'coldrounds_registry');
  }

  /** Returns how to stop. */
  listen(heard: (message: unknown) => void): () => Promise<void> {
    return listen(this.database.pool, 'coldrounds_live', (payload) => {
      try {
        heard(JSON.parse(payload));
      } catch {
        // Another program may use the channel; what is not ours is left alone.
      }
    });
  }
}
