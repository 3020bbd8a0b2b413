import type { Queryable } from '../connection/database.js';

/** Work of the whole fleet that one of several processes does at a time. */
export class PeriodicWorkRepository {
  constructor(private readonly database: Queryable) {}

  /** True for one caller in each `every_s`. */
  async mine(name: string, every_s: number): Promise<boolean> {
    const { rowCount } = await this.database.query(
      `insert into periodic_work as work (name, next_at) values ($1, now() + $2 * interval '1 second')
       on conflict (name) do update set next_at = excluded.next_at where work.next_at <= now()`,
      [name, every_s],
    );
    return rowCount === 1;
  }
}
