import { Database, type Queryable } from '../index.js';
import { personColumns, type StoredPerson } from './person.repository.js';

/** A sign-in at an OpenID provider that has begun: what its answer has to fit. */
export interface OpenIdAttempt {
  state: string;
  nonce: string;
  verifier: string;
  /** Path of the page to go on to. */
  returnTo: string;
}

/** Sign-ins by OpenID Connect: those under way, and who is who at the provider. */
export class OpenIdRepository {
  constructor(private readonly database: Database) {}

  async begin(browserHash: Buffer, attempt: OpenIdAttempt, validFor_s: number): Promise<void> {
    await this.database.query('delete from openid_attempt where expires_at < now()');
    await this.database.query(
      `insert into openid_attempt (browser_hash, state, nonce, verifier, return_to, expires_at)
       values ($1, $2, $3, $4, $5, now() + make_interval(secs => $6))`,
      [browserHash, attempt.state, attempt.nonce, attempt.verifier, attempt.returnTo, validFor_s],
    );
  }

  /** Uses an attempt up: whoever comes with it again finds none. */
  async take(browserHash: Buffer): Promise<OpenIdAttempt | null> {
    const { rows } = await this.database.query<OpenIdAttempt & { valid: boolean }>(
      `delete from openid_attempt where browser_hash = $1
        returning state, nonce, verifier, return_to as "returnTo", expires_at > now() as valid`,
      [browserHash],
    );
    if (rows.length === 0 || !rows[0].valid) return null;
    const { valid: _valid, ...attempt } = rows[0];
    return attempt;
  }

  /** Whose identity this is. */
  async person(issuer: string, subject: string, by: Queryable): Promise<StoredPerson | null> {
    const { rows } = await by.query<StoredPerson>(
      `select ${personColumns} from openid_identity i join person p on p.id = i.person_id
        where i.issuer = $1 and i.subject = $2`,
      [issuer, subject],
    );
    return rows[0] ?? null;
  }

  /** Ties an identity to a person for good. False: one of the two is tied already. */
  async tie(issuer: string, subject: string, personId: number, by: Queryable): Promise<boolean> {
    const { rowCount } = await by.query(
      `insert into openid_identity (issuer, subject, person_id) values ($1, $2, $3) on conflict do nothing`,
      [issuer, subject, personId],
    );
    return rowCount === 1;
  }
}
