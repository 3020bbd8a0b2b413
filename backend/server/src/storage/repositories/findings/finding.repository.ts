import type { Finding, SensorVerdict } from '@coldrounds/core';
import { Database, type Queryable } from '../../connection/database.js';
import { containing } from '../like-patterns.js';
import { stored, storedColumns, type Stored, type StoredRow } from './stored.js';

export type StoredFinding = Stored<Finding>;

export interface OpenFinding {
  id: number;
  unitId: number;
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

export interface SourceChanges extends FindingChanges {
  unitId: number;
  source: string;
}

export interface FindingFilter {
  unitId?: number;
  site?: string;
  /** Keys of the only sites that may be seen; null or left out: all. */
  sites?: readonly string[] | null;
  open?: boolean;
  urgency?: string;
  /** Words that must all be found, in lower case. */
  words: readonly string[];
  /** Id of the last finding of the page before. */
  after?: string;
  limit: number;
}

/** As much of a finding as decides on the place of its unit. */
export interface FindingHead {
  id: string;
  unitId: number;
  condition: string;
  subject: Finding['subject'];
  urgency: Finding['urgency'];
  certainty: Finding['certainty'];
  waiting: number;
  headline: string;
  causes: string[];
  firstSeen_s: number;
  openedAt: Date;
}

type Row = StoredRow<Finding>;

/** Findings and their history. */
export class FindingRepository {
  constructor(private readonly database: Database) {}

  /** The open findings that the sources own, by source. */
  async openOf(
    sources: readonly string[],
    by: Queryable = this.database,
  ): Promise<Map<string, OpenFinding[]>> {
    const { rows } = await by.query<OpenFinding>(
      `select id, unit_id as "unitId", subject_key as "subjectKey", condition, source, urgency, certainty, provisional,
              absent_count as "absentCount", extract(epoch from absent_since)::float8 as "absentSince_s"
         from finding where source = any($1::text[]) and ended_at is null`,
      [sources],
    );
    const found = new Map<string, OpenFinding[]>(sources.map((source) => [source, []]));
    for (const row of rows) found.get(row.source)!.push(row);
    return found;
  }

  /** What is open from the sources on any unit, as far as it decides on other findings. */
  async verdictsOf(sources: readonly string[]): Promise<(SensorVerdict & { unitId: number })[]> {
    const { rows } = await this.database.query<SensorVerdict & { unitId: number }>(
      `select unit_id as "unitId", condition, document->'subject' as subject, certainty,
              document->'error' as error, (document->>'firstSeen_s')::float8 as "firstSeen_s"
         from finding where source = any($1::text[]) and ended_at is null`,
      [sources],
    );
    return rows;
  }

  /** The same from the sensors of every circuit. */
  async sensorVerdicts(): Promise<(SensorVerdict & { unitId: number })[]> {
    const { rows } = await this.database.query<SensorVerdict & { unitId: number }>(
      `select unit_id as "unitId", condition, document->'subject' as subject, certainty,
              document->'error' as error, (document->>'firstSeen_s')::float8 as "firstSeen_s"
         from finding where source >= 'sensors/' and source < 'sensors0' and ended_at is null order by id`,
    );
    return rows;
  }

  /** Writes what changed for any number of sources, in sets. */
  async apply(changes: readonly SourceChanges[], by: Queryable = this.database): Promise<void> {
    await open(
      by,
      changes.flatMap(({ unitId, source, opened }) => opened.map((entry) => ({ unitId, source, ...entry }))),
    );
    await update(
      by,
      changes.flatMap(({ updated }) => updated),
    );
    const absent = changes.flatMap((change) => change.absent);
    if (absent.length > 0)
      await by.query(
        `update finding f set absent_count = a.count, absent_since = to_timestamp(a.since_s)
           from unnest($1::bigint[], $2::int[], $3::float8[]) as a(id, count, since_s) where f.id = a.id`,
        [absent.map(({ id }) => id), absent.map(({ count }) => count), absent.map(({ since_s }) => since_s)],
      );
    const ended = changes.flatMap((change) => change.ended);
    if (ended.length > 0)
      await by.query('update finding set ended_at = now() where id = any($1) and ended_at is null', [ended]);
  }

  /** Findings of some units that are open now. */
  async openOfUnits(unitIds: readonly number[], by: Queryable = this.database): Promise<StoredFinding[]> {
    if (unitIds.length === 0) return [];
    const { rows } = await by.query<Row>(
      `select ${storedColumns} from finding
        where ended_at is null and unit_id = any($1)`,
      [unitIds],
    );
    return rows.map(stored);
  }

  /** Findings that are open now. */
  async open(unitId?: number): Promise<StoredFinding[]> {
    const { rows } = await this.database.query<Row>(
      `select ${storedColumns} from finding
        where ended_at is null and ($1::int is null or unit_id = $1)`,
      [unitId ?? null],
    );
    return rows.map(stored);
  }

  /** What a ranking needs of the findings that were open at a moment, each as it stood then. */
  async headsAt(at_s: number): Promise<FindingHead[]> {
    const { rows } = await this.database.query<FindingHead>(
      `select f.id::text as id, f.unit_id as "unitId", f.condition, c.document->'subject' as subject, c.urgency, c.certainty,
              c.waiting::float8 as waiting, c.document #>> '{headline,text}' as headline,
              coalesce(jsonb_path_query_array(c.document, '$.explanations[*].cause'), '[]') as causes,
              (c.document->>'firstSeen_s')::float8 as "firstSeen_s", f.opened_at as "openedAt"
         from finding f cross join lateral (
           select document, urgency, certainty, waiting from finding_change
            where finding_id = f.id and changed_at <= to_timestamp($1) order by changed_at desc limit 1) c
        where f.opened_at <= to_timestamp($1) and (f.ended_at is null or f.ended_at > to_timestamp($1))`,
      [at_s],
    );
    return rows;
  }

  /** Findings of some units that were open at a moment, each as it stood then: none of them had ended. */
  async openAt(at_s: number, unitIds: readonly number[]): Promise<StoredFinding[]> {
    const { rows } = await this.database.query<Row>(
      `select f.id, f.unit_id, c.document, f.opened_at, c.changed_at as updated_at, null as ended_at
         from finding f cross join lateral (
           select document, changed_at from finding_change
            where finding_id = f.id and changed_at <= to_timestamp($1) order by changed_at desc limit 1) c
        where f.unit_id = any($2) and f.opened_at <= to_timestamp($1)
          and (f.ended_at is null or f.ended_at > to_timestamp($1))`,
      [at_s, unitIds],
    );
    return rows.map(stored);
  }

  /** One finding, open or ended; null: there is none of that number. */
  async one(id: string): Promise<StoredFinding | null> {
    if (!/^\d{1,18}$/.test(id)) return null;
    const { rows } = await this.database.query<Row>(`select ${storedColumns} from finding where id = $1`, [
      id,
    ]);
    return rows.length === 0 ? null : stored(rows[0]);
  }

  /** Some findings, open or ended; those that are not there are left out. */
  async several(ids: readonly string[]): Promise<StoredFinding[]> {
    const { rows } = await this.database.query<Row>(
      `select ${storedColumns} from finding where id = any($1::bigint[])`,
      [ids],
    );
    return rows.map(stored);
  }

  /** One finding as it stood at a moment; null: it was not open yet. */
  async oneAt(id: string, at_s: number): Promise<StoredFinding | null> {
    if (!/^\d{1,18}$/.test(id)) return null;
    const { rows } = await this.database.query<Row>(
      `select f.id, f.unit_id, c.document, f.opened_at, c.changed_at as updated_at, null as ended_at
         from finding f join finding_change c on c.finding_id = f.id
        where f.id = $1 and c.changed_at <= to_timestamp($2) order by c.changed_at desc limit 1`,
      [id, at_s],
    );
    return rows.length === 0 ? null : stored(rows[0]);
  }

  /** Newest first, from after `after`. */
  async history(query: FindingFilter): Promise<StoredFinding[]> {
    const parts = ['true'];
    const values: unknown[] = [];
    const where = (text: (parameter: string) => string, value: unknown) =>
      parts.push(text(`$${values.push(value)}`));
    if (query.unitId !== undefined) where((id) => `unit_id = ${id}`, query.unitId);
    if (query.site !== undefined)
      where(
        (key) => `unit_id in (select u.id from unit u join site s on s.id = u.site_id where s.key = ${key})`,
        query.site,
      );
    if (query.sites != null)
      where(
        (keys) =>
          `unit_id in (select u.id from unit u join site s on s.id = u.site_id where s.key = any(${keys}::text[]))`,
        query.sites,
      );
    if (query.open !== undefined) parts.push(query.open ? 'ended_at is null' : 'ended_at is not null');
    if (query.urgency !== undefined) where((urgency) => `urgency = ${urgency}`, query.urgency);
    if (query.words.length > 0) where((words) => `words like all(${words}::text[])`, containing(query.words));
    if (query.after !== undefined)
      where(
        (id) => `(opened_at, id) < (select opened_at, id from finding where id = ${id}::bigint)`,
        query.after,
      );
    const { rows } = await this.database.query<Row>(
      `select ${storedColumns} from finding
        where ${parts.join(' and ')} order by opened_at desc, id desc limit $${values.push(query.limit)}`,
      values,
    );
    return rows.map(stored);
  }
}

type Opened = FindingChanges['opened'][number] & { unitId: number; source: string };

async function open(by: Queryable, entries: readonly Opened[]): Promise<void> {
  if (entries.length === 0) return;
  // Of two that name the same thing the last is kept, as if they had come one after the other.
  const opened = [
    ...new Map(
      entries.map((entry) => [`${entry.unitId} ${entry.subjectKey} ${entry.finding.condition}`, entry]),
    ).values(),
  ];
  await by.query(
    `with opened as (
       insert into finding (unit_id, subject_key, condition, urgency, certainty, waiting, document, source, provisional)
       select o.unit_id, o.subject, o.condition, o.urgency, o.certainty, o.waiting, o.document::jsonb, o.source, o.provisional
         from unnest($1::int[], $2::text[], $3::text[], $4::text[], $5::text[], $6::real[], $7::text[], $8::text[], $9::boolean[])
              as o(unit_id, subject, condition, urgency, certainty, waiting, document, source, provisional)
       on conflict (unit_id, subject_key, condition) where ended_at is null do update
         set updated_at = now(), urgency = excluded.urgency, certainty = excluded.certainty,
             waiting = excluded.waiting, document = excluded.document, source = excluded.source,
             provisional = excluded.provisional, absent_count = 0, absent_since = null
       returning id, urgency, certainty, waiting, document)
     insert into finding_change (finding_id, changed_at, urgency, certainty, waiting, document)
     select id, now(), urgency, certainty, waiting, document from opened on conflict do nothing`,
    [
      opened.map(({ unitId }) => unitId),
      opened.map(({ subjectKey }) => subjectKey),
      opened.map(({ finding }) => finding.condition),
      opened.map(({ finding }) => finding.urgency),
      opened.map(({ finding }) => finding.certainty),
      opened.map(({ finding }) => finding.waiting.score),
      opened.map(({ finding }) => JSON.stringify(finding)),
      opened.map(({ source }) => source),
      opened.map(({ provisional }) => provisional),
    ],
  );
}

async function update(by: Queryable, updated: FindingChanges['updated']): Promise<void> {
  if (updated.length === 0) return;
  await by.query(
    `with news as (
       select * from unnest($1::bigint[], $2::text[], $3::text[], $4::real[], $5::text[], $6::boolean[], $7::boolean[])
              as u(id, urgency, certainty, waiting, document, provisional, changed)),
     written as (
       update finding f set updated_at = now(), urgency = n.urgency, certainty = n.certainty, waiting = n.waiting,
              document = n.document::jsonb, provisional = n.provisional, absent_count = 0, absent_since = null
         from news n where f.id = n.id
       returning f.id)
     insert into finding_change (finding_id, changed_at, urgency, certainty, waiting, document)
     select n.id, now(), n.urgency, n.certainty, n.waiting, n.document::jsonb
       from news n join written using (id) where n.changed on conflict do nothing`,
    [
      updated.map(({ id }) => id),
      updated.map(({ finding }) => finding.urgency),
      updated.map(({ finding }) => finding.certainty),
      updated.map(({ finding }) => finding.waiting.score),
      updated.map(({ finding }) => JSON.stringify(finding)),
      updated.map(({ provisional }) => provisional),
      updated.map(({ changed }) => changed),
    ],
  );
}
