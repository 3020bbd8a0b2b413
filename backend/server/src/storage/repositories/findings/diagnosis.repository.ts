import type { Cause, Certainty, Diagnosis, Urgency } from '@coldrounds/core';
import { Database, type Queryable } from '../../connection/database.js';
import { stored, storedColumns, type Stored, type StoredRow } from './stored.js';

/** A diagnosis as it is kept: its findings by their ids. */
export interface DiagnosisDocument extends Omit<Diagnosis, 'symptoms' | 'consequences'> {
  /** Findings that the cause explains, most telling first. */
  symptoms: string[];
  /** Those of the symptoms that only follow from the cause. */
  consequences: string[];
}

export type StoredDiagnosis = Stored<DiagnosisDocument>;

export interface DiagnosisChanges {
  opened: { unitId: number; subjectKey: string; document: DiagnosisDocument }[];
  updated: { id: string; subjectKey: string; document: DiagnosisDocument; changed: boolean }[];
  ended: string[];
}

/** As much of a diagnosis as decides on the place of its unit. */
export interface DiagnosisHead {
  unitId: number;
  cause: Cause;
  urgency: Urgency;
  certainty: Certainty;
  weight: number;
  waiting: number;
  symptoms: string[];
  headline: string;
  subject: Diagnosis['subject'];
  since_s: number;
}

type Row = StoredRow<DiagnosisDocument>;

/** Diagnoses of units and their history. */
export class DiagnosisRepository {
  constructor(private readonly database: Database) {}

  /** Diagnoses of some units that are open now. */
  async openOfUnits(unitIds: readonly number[], by: Queryable = this.database): Promise<StoredDiagnosis[]> {
    if (unitIds.length === 0) return [];
    const { rows } = await by.query<Row>(
      `select ${storedColumns} from diagnosis where ended_at is null and unit_id = any($1) order by id`,
      [unitIds],
    );
    return rows.map(stored);
  }

  /** One diagnosis, open or ended; null: there is none of that number. */
  async one(id: string): Promise<StoredDiagnosis | null> {
    if (!/^\d{1,18}$/.test(id)) return null;
    const { rows } = await this.database.query<Row>(`select ${storedColumns} from diagnosis where id = $1`, [
      id,
    ]);
    return rows.length === 0 ? null : stored(rows[0]);
  }

  /** Diagnoses of some units that were open at a moment, each as it stood then. */
  async openAt(at_s: number, unitIds: readonly number[]): Promise<StoredDiagnosis[]> {
    const { rows } = await this.database.query<Row>(
      `select d.id, d.unit_id, c.document, d.opened_at, c.changed_at as updated_at, d.ended_at
         from diagnosis d cross join lateral (
           select document, changed_at from diagnosis_change
            where diagnosis_id = d.id and changed_at <= to_timestamp($1) order by changed_at desc limit 1) c
        where d.unit_id = any($2) and d.opened_at <= to_timestamp($1)
          and (d.ended_at is null or d.ended_at > to_timestamp($1)) order by d.id`,
      [at_s, unitIds],
    );
    return rows.map(stored);
  }

  /** What a ranking needs of the diagnoses that were open at a moment, each as it stood then. */
  async headsAt(at_s: number): Promise<DiagnosisHead[]> {
    const { rows } = await this.database.query<DiagnosisHead>(
      `select d.unit_id as "unitId", c.cause, c.urgency, c.certainty, c.weight::float8 as weight,
              c.waiting::float8 as waiting, c.document->'symptoms' as symptoms,
              c.document #>> '{headline,text}' as headline, c.document->'subject' as subject,
              (c.document->>'since_s')::float8 as since_s
         from diagnosis d cross join lateral (
           select * from diagnosis_change
            where diagnosis_id = d.id and changed_at <= to_timestamp($1) order by changed_at desc limit 1) c
        where d.opened_at <= to_timestamp($1) and (d.ended_at is null or d.ended_at > to_timestamp($1)) order by d.id`,
      [at_s],
    );
    return rows;
  }

  /** Writes what changed, in sets. */
  async apply(by: Queryable, { opened, updated, ended }: DiagnosisChanges): Promise<void> {
    if (ended.length > 0)
      await by.query('update diagnosis set ended_at = now() where id = any($1::bigint[])', [ended]);
    if (opened.length > 0)
      await by.query(
        `with opened as (
           insert into diagnosis (unit_id, subject_key, cause, urgency, certainty, weight, waiting, document)
           select o.unit_id, o.subject, o.cause, o.urgency, o.certainty, o.weight, o.waiting, o.document::jsonb
             from unnest($1::int[], $2::text[], $3::text[], $4::text[], $5::text[], $6::real[], $7::real[], $8::text[])
                  as o(unit_id, subject, cause, urgency, certainty, weight, waiting, document)
           returning id, cause, urgency, certainty, weight, waiting, document)
         insert into diagnosis_change (diagnosis_id, changed_at, cause, urgency, certainty, weight, waiting, document)
         select id, now(), cause, urgency, certainty, weight, waiting, document from opened`,
        [opened.map(({ unitId }) => unitId), ...documentColumns(opened)],
      );
    if (updated.length > 0)
      await by.query(
        `with news as (
           select * from unnest($1::bigint[], $2::text[], $3::text[], $4::text[], $5::text[], $6::real[], $7::real[], $8::text[],
                                $9::boolean[])
                  as u(id, subject, cause, urgency, certainty, weight, waiting, document, changed)),
         written as (
           update diagnosis d set updated_at = now(), subject_key = n.subject, cause = n.cause, urgency = n.urgency,
                  certainty = n.certainty, weight = n.weight, waiting = n.waiting, document = n.document::jsonb
             from news n where d.id = n.id
           returning d.id)
         insert into diagnosis_change (diagnosis_id, changed_at, cause, urgency, certainty, weight, waiting, document)
         select n.id, now(), n.cause, n.urgency, n.certainty, n.weight, n.waiting, n.document::jsonb
           from news n join written using (id) where n.changed on conflict do nothing`,
        [updated.map(({ id }) => id), ...documentColumns(updated), updated.map(({ changed }) => changed)],
      );
  }
}

const documentColumns = (
  entries: readonly { subjectKey: string; document: DiagnosisDocument }[],
): (string | number)[][] => [
  entries.map(({ subjectKey }) => subjectKey),
  entries.map(({ document }) => document.cause),
  entries.map(({ document }) => document.urgency),
  entries.map(({ document }) => document.certainty),
  entries.map(({ document }) => document.weight),
  entries.map(({ document }) => document.waiting.score),
  entries.map(({ document }) => JSON.stringify(document)),
];
