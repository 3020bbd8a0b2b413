import { Database, type Queryable } from '../index.js';

export interface NewInvitation {
  tokenHash: Buffer;
  /** The person whose password it sets; null: it makes an account. */
  personId: number | null;
  name: string | null;
  email: string | null;
  role: string;
  siteIds: readonly number[] | null;
  madeBy: number | null;
  validFor_s: number;
}

export interface StoredInvitation {
  personId: number | null;
  name: string | null;
  email: string | null;
  role: string;
  siteIds: number[] | null;
}

const columns = `person_id as "personId", name, email, role, site_ids as "siteIds"`;
const valid = 'used_at is null and expires_at > now()';

/** Links that work once. */
export class InvitationRepository {
  constructor(private readonly database: Database) {}

  async add(invitation: NewInvitation, by: Queryable = this.database): Promise<void> {
    await by.query(
      `insert into invitation (token_hash, person_id, name, email, role, site_ids, made_by, expires_at)
       values ($1, $2, $3, $4, $5, $6, $7, now() + make_interval(secs => $8))`,
      [
        invitation.tokenHash,
        invitation.personId,
        invitation.name,
        invitation.email,
        invitation.role,
        invitation.siteIds,
        invitation.madeBy,
        invitation.validFor_s,
      ],
    );
  }

  /** Makes links of the server's own void: only the newest is to work. */
  async withdrawFirst(by: Queryable = this.database): Promise<void> {
    await by.query('delete from invitation where made_by is null and person_id is null and used_at is null');
  }

  /** Whether a link is out that can still make an account. */
  async anyForAccount(): Promise<boolean> {
    const { rows } = await this.database.query<{ any: boolean }>(
      `select exists (select from invitation where ${valid} and person_id is null) as any`,
    );
    return rows[0].any;
  }

  async find(tokenHash: Buffer): Promise<StoredInvitation | null> {
    const { rows } = await this.database.query<StoredInvitation>(
      `select ${columns} from invitation where token_hash = $1 and ${valid}`,
      [tokenHash],
    );
    return rows[0] ?? null;
  }

  /** Uses it up: of two who come with the same link at once, one gets null. */
  async use(tokenHash: Buffer, by: Queryable): Promise<StoredInvitation | null> {
    const { rows } = await by.query<StoredInvitation>(
      `update invitation set used_at = now() where token_hash = $1 and ${valid} returning ${columns}`,
      [tokenHash],
    );
    return rows[0] ?? null;
  }
}
