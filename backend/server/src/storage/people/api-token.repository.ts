import { Database } from '../index.js';
import { personColumns, type StoredPerson } from './person.repository.js';

export interface StoredToken {
  id: number;
  name: string;
  scopes: string[];
  createdAt: Date;
  expiresAt: Date;
  usedAt: Date | null;
  revokedAt: Date | null;
}

const columns = `t.id, t.name, t.scopes, t.created_at as "createdAt", t.expires_at as "expiresAt",
  t.used_at as "usedAt", t.revoked_at as "revokedAt"`;

/** Tokens for machines. */
export class ApiTokenRepository {
  constructor(private readonly database: Database) {}

  async add(
    personId: number,
    token: { name: string; hash: Buffer; scopes: readonly string[]; validFor_s: number },
  ): Promise<StoredToken> {
    const { rows } = await this.database.query<StoredToken>(
      `insert into api_token as t (person_id, name, token_hash, scopes, expires_at)
       values ($1, $2, $3, $4, now() + make_interval(secs => $5)) returning ${columns}`,
      [personId, token.name, token.hash, token.scopes, token.validFor_s],
    );
    return rows[0];
  }

  async of(personId: number): Promise<StoredToken[]> {
    const { rows } = await this.database.query<StoredToken>(
      `select ${columns} from api_token t where t.person_id = $1 order by t.id desc`,
      [personId],
    );
    return rows;
  }

  /** Whose token this is and for what; null: nobody's, expired or revoked. */
  async holder(tokenHash: Buffer): Promise<(StoredPerson & { scopes: string[] }) | null> {
    const { rows } = await this.database.query<
      StoredPerson & { scopes: string[]; tokenId: number; stale: boolean }
    >(
      `select ${personColumns}, t.scopes, t.id as "tokenId",
              coalesce(t.used_at < now() - interval '5 minutes', true) as stale
         from api_token t join person p on p.id = t.person_id
        where t.token_hash = $1 and t.revoked_at is null and t.expires_at > now() and p.active`,
      [tokenHash],
    );
    if (rows.length === 0) return null;
    const { stale, tokenId, ...holder } = rows[0];
    if (stale) await this.database.query('update api_token set used_at = now() where id = $1', [tokenId]);
    return holder;
  }

  /** Whether there was one of this person to revoke. */
  async revoke(id: number, personId: number): Promise<boolean> {
    const { rowCount } = await this.database.query(
      'update api_token set revoked_at = now() where id = $1 and person_id = $2 and revoked_at is null',
      [id, personId],
    );
    return rowCount === 1;
  }
}
