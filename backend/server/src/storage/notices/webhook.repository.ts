import { Database, type Queryable } from '../index.js';

export interface WebhookRow {
  id: number;
  name: string;
  address: string;
  events: string[];
  active: boolean;
  madeAt: Date;
}

export type WebhookEntry = Pick<WebhookRow, 'name' | 'address' | 'events'>;

const columns = 'id, name, address, events, active, made_at as "madeAt"';

/** Programs that are told of changes. Their secrets are read where something is sent, and nowhere else. */
export class WebhookRepository {
  constructor(private readonly database: Database) {}

  async all(): Promise<WebhookRow[]> {
    const { rows } = await this.database.query<WebhookRow>(
      `select ${columns} from webhook order by name, id`,
    );
    return rows;
  }

  async one(id: number, by: Queryable = this.database): Promise<WebhookRow | null> {
    const { rows } = await by.query<WebhookRow>(`select ${columns} from webhook where id = $1 for update`, [
      id,
    ]);
    return rows[0] ?? null;
  }

  async add({ name, address, events }: WebhookEntry, secret: string, by: Queryable): Promise<WebhookRow> {
    const { rows } = await by.query<WebhookRow>(
      `insert into webhook (name, address, events, secret) values ($1, $2, $3, $4) returning ${columns}`,
      [name, address, events, secret],
    );
    return rows[0];
  }

  async change(id: number, entry: WebhookEntry & { active: boolean }, by: Queryable): Promise<void> {
    await by.query('update webhook set name = $2, address = $3, events = $4, active = $5 where id = $1', [
      id,
      entry.name,
      entry.address,
      entry.events,
      entry.active,
    ]);
  }

  async setSecret(id: number, secret: string, by: Queryable): Promise<void> {
    await by.query('update webhook set secret = $2 where id = $1', [id, secret]);
  }

  /** With all that was or is to be sent to it. */
  async remove(id: number, by: Queryable): Promise<void> {
    await by.query('delete from webhook where id = $1', [id]);
  }
}
