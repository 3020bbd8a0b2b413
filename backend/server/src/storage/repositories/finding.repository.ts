import type { Finding, SensorVerdict } from '@coldrounds/core';
import { Database } from '../database.js';

/** A finding with its life in the store. */
export interface StoredFinding {
  id: string;
  unitId: number;
  document: Finding;
  openedAt: Date;
  updatedAt: Date;
  endedAt: Date | null;
}

export interface OpenFinding {
  id: number;
  subjectKey: string;
  condition: string;
  source: string;
  urgency: string;
  certainty: Finding['certainty'];
  provisional: boolean;
  absentCount: number;
  absentSince_s: number | null;
}

export interface FindingChanges {
  opened: { subjectKey: string; finding: Finding; provisional: boolean }[];
  updated: { id: number; finding: Finding; provisional: boolean; changed: boolean }[];
  absent: { id: number; count: number; since_s: number }[];
  ended: number[];
}

interface Row {
  id: string;
  unit_id: number;
  document: Finding;
  opened_at: Date;
  updated_at: Date;
  ended_at: Date | null;
}

const stored = (row: Row): StoredFinding => ({
  id: String(row.id),
  unitId: row.unit_id,
  document: row.document,
  openedAt: row.opened_at,
  updatedAt: row.updated_at,
  endedAt: row.ended_at,
});

/** Findings and their history. */
export class FindingRepository {
  constructor(private readonly database: Database) {}

  /** The open findings of a unit that the source owns. */
  async openOf(unitId: number, source: string): Promise<OpenFinding[]> {
    const { rows } = await this.database.query<OpenFinding>(
      `select id, subject_key as "subjectKey", condition, source, urgency, certainty, provisional,
              absent_count as "absentCount", extract(epoch from absent_since)::float8 as "absentSince_s"
         from finding where unit_id = $1 and source = $2 and ended_at is null`,
      [unitId, source],
    );
    return rows;
  }

  /** What is open from the sources on any unit, as far as it decides on other findings. */
  async verdictsOf(sources: readonly string[]): Promise<(SensorVerdict & { unitId: number })[]> {
    const { rows } = await this.database.query<SensorVerdict & { unitId: number }>(
      `select unit_id as "unitId", condition, document->'subject' as subject, certainty
         from finding where source = any($1::text[]) and ended_at is null`,
      [sources],
    );
    return rows;
  }

  async apply(unitId: number, source: string, changes: FindingChanges): Promise<void> {
    await this.database.transaction(async (client) => {
      for (const { subjectKey, finding, provisional } of changes.opened)
        await client.query(
          `with opened as (
             insert into finding (unit_id, subject_key, condition, urgency, certainty, waiting, document, source, provisional)
             values ($1, $2, $3, $4, $5, $6, $7, $8, $9)
             on conflict (unit_id, subject_key, condition) where ended_at is null do update
               set updated_at = now(), urgency = excluded.urgency, certainty = excluded.certainty,
                   waiting = excluded.waiting, document = excluded.document, source = excluded.source,
                   provisional = excluded.provisional, absent_count = 0, absent_since = null
             returning id)
           insert into finding_change (finding_id, changed_at, urgency, certainty, waiting, document)
           select id, now(), $4, $5, $6, $7 from opened on conflict do nothing`,
          [
            unitId,
            subjectKey,
            finding.condition,
            finding.urgency,
            finding.certainty,
            finding.waiting.score,
            JSON.stringify(finding),
            source,
            provisional,
          ],
        );
      for (const { id, finding, provisional, changed } of changes.updated) {
        const values = [
          id,
          finding.urgency,
          finding.certainty,
          finding.waiting.score,
          JSON.stringify(finding),
        ];
        await client.query(
          `update finding set updated_at = now(), urgency = $2, certainty = $3, waiting = $4, document = $5,
                  provisional = $6, absent_count = 0, absent_since = null where id = $1`,
          [...values, provisional],
        );
        if (changed)
          await client.query(
            `insert into finding_change (finding_id, changed_at, urgency, certainty, waiting, document)
             values ($1, now(), $2, $3, $4, $5) on conflict do nothing`,
            values,
          );
      }
      for (const { id, count, since_s } of changes.absent)
        await client.query(
          'update finding set absent_count = $2, absent_since = to_timestamp($3) where id = $1',
          [id, count, since_s],
        );
      if (changes.ended.length > 0)
        await client.query('update finding set ended_at = now() where id = any($1) and ended_at is null', [
          changes.ended,
        ]);
    });
  }

  /** Findings that are open now. */
  async open(unitId?: number): Promise<StoredFinding[]> {
    const { rows } = await this.database.query<Row>(
      `select id, unit_id, document, opened_at, updated_at, ended_at from finding
        where ended_at is null and ($1::int is null or unit_id = $1)`,
      [unitId ?? null],
    );
    return rows.map(stored);
  }

  /** Findings that were open at a moment, each as it stood then. */
  async openAt(at_s: number): Promise<StoredFinding[]> {
    const { rows } = await this.database.query<Row>(
      `select f.id, f.unit_id, c.document, f.opened_at, c.changed_at as updated_at, f.ended_at
         from finding f cross join lateral (
           select document, changed_at from finding_change
            where finding_id = f.id and changed_at <= to_timestamp($1) order by changed_at desc limit 1) c
        where f.opened_at <= to_timestamp($1) and (f.ended_at is null or f.ended_at > to_timestamp($1))`,
      [at_s],
    );
    return rows.map(stored);
  }

  async history(query: { unitId?: number; open?: boolean; limit: number }): Promise<StoredFinding[]> {
    const { rows } = await this.database.query<Row>(
      `select id, unit_id, document, opened_at, updated_at, ended_at from finding
        where ($1::int is null or unit_id = $1)
          and ($2::boolean is null or $2 = (ended_at is null))
        order by opened_at desc, id desc limit $3`,
      [query.unitId ?? null, query.open ?? null, query.limit],
    );
    return rows.map(stored);
  }
}
