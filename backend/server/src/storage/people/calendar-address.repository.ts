import { Database } from '../index.js';

/** Addresses at which calendar programs read a person's work, one for each person. */
export class CalendarAddressRepository {
  constructor(private readonly database: Database) {}

  /** An earlier address of the person is void from then on. */
  async set(personId: number, secretHash: Buffer): Promise<void> {
    await this.database.query(
      `insert into calendar_address (person_id, secret_hash) values ($1, $2)
       on conflict (person_id) do update set secret_hash = excluded.secret_hash, made_at = now(), used_at = null`,
      [personId, secretHash],
    );
  }

  /** Whether there was one. */
  async remove(personId: number): Promise<boolean> {
    const { rowCount } = await this.database.query('delete from calendar_address where person_id = $1', [
      personId,
    ]);
    return rowCount === 1;
  }

  async of(personId: number): Promise<{ madeAt: Date; usedAt: Date | null } | null> {
    const { rows } = await this.database.query<{ madeAt: Date; usedAt: Date | null }>(
      'select made_at as "madeAt", used_at as "usedAt" from calendar_address where person_id = $1',
      [personId],
    );
    return rows[0] ?? null;
  }

  /** Whose calendar this is; null: nobody's. */
  async holder(secretHash: Buffer): Promise<number | null> {
    const { rows } = await this.database.query<{ personId: number }>(
      'update calendar_address set used_at = now() where secret_hash = $1 returning person_id as "personId"',
      [secretHash],
    );
    return rows[0]?.personId ?? null;
  }
}
