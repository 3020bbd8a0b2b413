import { Database, type Queryable } from '../index.js';

export interface NewAuditEntry {
  personId: number | null;
  who: string;
  action: string;
  subject?: string;
  detail?: object;
  address?: string;
}

export interface StoredAuditEntry {
  id: number;
  at: Date;
  personId: number | null;
  who: string;
  action: string;
  subject: string | null;
  detail: object;
  address: string | null;
}

/** Who did what and when. The store itself refuses to change what is written. */
export class AuditRepository {
  constructor(private readonly database: Database) {}

  /** In the transaction of what it tells of, where that has one. */
  async add(entry: NewAuditEntry, by: Queryable = this.database): Promise<void> {
    await by.query(
      `insert into audit_entry (person_id, who, action, subject, detail, address) values ($1, $2, $3, $4, $5, $6)`,
      [
        entry.personId,
        entry.who,
        entry.action,
        entry.subject ?? null,
        JSON.stringify(entry.detail ?? {}),
        entry.address ?? null,
      ],
    );
  }

  /** Newest first, before number `before`. */
  async page(before: number | null, limit: number): Promise<StoredAuditEntry[]> {
    const { rows } = await this.database.query<StoredAuditEntry>(
      `select id, at, person_id as "personId", who, action, subject, detail, address from audit_entry
        where $1::bigint is null or id < $1 order by id desc limit $2`,
      [before, limit],
    );
    return rows;
  }
}
