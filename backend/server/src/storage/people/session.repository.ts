import { Database, type Queryable } from '../index.js';
import { personColumns, type StoredPerson } from './person.repository.js';

export interface SessionLimits {
  /** A session that is not used for so long has ended. */
  idle_s: number;
  /** And any after so long. */
  longest_s: number;
}

/** A session as its owner sees it. */
export interface StoredSession {
  id: number;
  startedAt: Date;
  usedAt: Date;
  /** Where it was begun from; null: not known. */
  address: string | null;
  openId: boolean;
  /** It is the one that asks. */
  own: boolean;
}

/** Sessions of browsers, and the browsers that people have signed in with. */
export class SessionRepository {
  constructor(private readonly database: Database) {}

  /** Starts a session, notes when the person signed in, and clears away sessions that have ended. */
  async start(
    tokenHash: Buffer,
    personId: number,
    limits: SessionLimits,
    { openId = false, address = null }: { openId?: boolean; address?: string | null } = {},
  ): Promise<void> {
    await this.database.transaction(async (client) => {
      await client.query(
        `delete from session where used_at < now() - make_interval(secs => $1)
                                or started_at < now() - make_interval(secs => $2)`,
        [limits.idle_s, limits.longest_s],
      );
      await client.query(
        'insert into session (token_hash, person_id, openid, address) values ($1, $2, $3, $4)',
        [tokenHash, personId, openId, address],
      );
      await client.query('update person set signed_in_at = now() where id = $1', [personId]);
    });
  }

  /** Whose session this is; null: nobody's, or it has ended. */
  async person(
    tokenHash: Buffer,
    limits: SessionLimits,
  ): Promise<(StoredPerson & { openId: boolean }) | null> {
    const { rows } = await this.database.query<StoredPerson & { openId: boolean; stale: boolean }>(
      `select ${personColumns}, e.openid as "openId", e.used_at < now() - interval '5 minutes' as stale
         from session e join person p on p.id = e.person_id
        where e.token_hash = $1 and p.active and e.used_at > now() - make_interval(secs => $2)
          and e.started_at > now() - make_interval(secs => $3)`,
      [tokenHash, limits.idle_s, limits.longest_s],
    );
    if (rows.length === 0) return null;
    const { stale, ...person } = rows[0];
    if (stale)
      await this.database.query('update session set used_at = now() where token_hash = $1', [tokenHash]);
    return person;
  }

  /** Whether it was begun at an OpenID provider. */
  async end(tokenHash: Buffer): Promise<boolean> {
    const { rows } = await this.database.query<{ openid: boolean }>(
      'delete from session where token_hash = $1 returning openid',
      [tokenHash],
    );
    return rows[0]?.openid ?? false;
  }

  /** Sessions of a person that have not ended, the newest first. */
  async of(personId: number, tokenHash: Buffer | null, limits: SessionLimits): Promise<StoredSession[]> {
    const { rows } = await this.database.query<StoredSession>(
      `select id::int as id, started_at as "startedAt", used_at as "usedAt", address, openid as "openId",
              coalesce(token_hash = $2, false) as own
         from session where person_id = $1 and used_at > now() - make_interval(secs => $3)
          and started_at > now() - make_interval(secs => $4) order by id desc`,
      [personId, tokenHash, limits.idle_s, limits.longest_s],
    );
    return rows;
  }

  /** Ends one session of a person. False: there is none of that number. */
  async endOne(personId: number, id: number, by: Queryable): Promise<boolean> {
    const { rowCount } = await by.query('delete from session where person_id = $1 and id = $2', [
      personId,
      id,
    ]);
    return rowCount === 1;
  }

  /** Ends all sessions of a person, and forgets their browsers. */
  async endAllOf(personId: number, by: Queryable): Promise<void> {
    await by.query('delete from session where person_id = $1', [personId]);
    await by.query('delete from known_device where person_id = $1', [personId]);
  }

  async knowDevice(tokenHash: Buffer, personId: number): Promise<void> {
    await this.database.query(`delete from known_device where used_at < now() - interval '400 days'`);
    await this.database.query(
      `insert into known_device (token_hash, person_id) values ($1, $2)
       on conflict (token_hash) do update set used_at = now()`,
      [tokenHash, personId],
    );
  }

  async isKnownDevice(tokenHash: Buffer, personId: number): Promise<boolean> {
    const { rows } = await this.database.query(
      'select from known_device where token_hash = $1 and person_id = $2',
      [tokenHash, personId],
    );
    return rows.length > 0;
  }
}
