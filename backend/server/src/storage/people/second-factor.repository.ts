import { Database, type Queryable } from '../index.js';

export interface StoredSecondFactor {
  secret: Buffer;
  confirmed: boolean;
}

/** Second factors of accounts, their recovery codes, and which roles must have one. */
export class SecondFactorRepository {
  constructor(private readonly database: Database) {}

  async of(personId: number): Promise<StoredSecondFactor | null> {
    const { rows } = await this.database.query<StoredSecondFactor>(
      'select secret, confirmed_at is not null as confirmed from second_factor where person_id = $1',
      [personId],
    );
    return rows[0] ?? null;
  }

  /** Keeps the secret of one that is being set up. False: there is one in use already. */
  async begin(personId: number, secret: Buffer): Promise<boolean> {
    const { rowCount } = await this.database.query(
      `insert into second_factor as f (person_id, secret) values ($1, $2)
       on conflict (person_id) do update set secret = excluded.secret, begun_at = now(), last_step = null
         where f.confirmed_at is null`,
      [personId, secret],
    );
    return rowCount === 1;
  }

  /** From now on it is asked for. False: it is already, or another was begun meanwhile. */
  async confirm(personId: number, secret: Buffer, step: number, by: Queryable): Promise<boolean> {
    const { rowCount } = await by.query(
      `update second_factor set confirmed_at = now(), last_step = $3
        where person_id = $1 and secret = $2 and confirmed_at is null`,
      [personId, secret, step],
    );
    return rowCount === 1;
  }

  /** Uses the code of a time step up. False: it, or a later one, was used before. */
  async useStep(personId: number, step: number): Promise<boolean> {
    const { rowCount } = await this.database.query(
      `update second_factor set last_step = $2
        where person_id = $1 and confirmed_at is not null and (last_step is null or last_step < $2)`,
      [personId, step],
    );
    return rowCount === 1;
  }

  /** Uses a recovery code up. False: it is none, or was used before. */
  async useRecoveryCode(personId: number, codeHash: Buffer): Promise<boolean> {
    const { rowCount } = await this.database.query(
      'update recovery_code set used_at = now() where person_id = $1 and code_hash = $2 and used_at is null',
      [personId, codeHash],
    );
    return rowCount === 1;
  }

  /** These take the place of all earlier ones. */
  async keepRecoveryCodes(personId: number, hashes: readonly Buffer[], by: Queryable): Promise<void> {
    await by.query('delete from recovery_code where person_id = $1', [personId]);
    await by.query('insert into recovery_code (code_hash, person_id) select unnest($2::bytea[]), $1', [
      personId,
      hashes,
    ]);
  }

  async recoveryCodesLeft(personId: number): Promise<number> {
    const { rows } = await this.database.query<{ n: number }>(
      'select count(*)::int as n from recovery_code where person_id = $1 and used_at is null',
      [personId],
    );
    return rows[0].n;
  }

  /** Whether there was one to take away. */
  async remove(personId: number, by: Queryable): Promise<boolean> {
    await by.query('delete from recovery_code where person_id = $1', [personId]);
    const { rowCount } = await by.query('delete from second_factor where person_id = $1', [personId]);
    return rowCount === 1;
  }

  /** Roles whose accounts with a password must have one. */
  async rolesThatNeedIt(): Promise<string[]> {
    const { rows } = await this.database.query<{ role: string }>(
      'select role from second_factor_rule order by role',
    );
    return rows.map(({ role }) => role);
  }

  async setRolesThatNeedIt(roles: readonly string[], by: Queryable): Promise<void> {
    await by.query('delete from second_factor_rule where role <> all($1::text[])', [roles]);
    await by.query('insert into second_factor_rule (role) select unnest($1::text[]) on conflict do nothing', [
      roles,
    ]);
  }
}
