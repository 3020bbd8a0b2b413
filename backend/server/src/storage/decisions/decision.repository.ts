import type { FindingSubject } from '@coldrounds/core';
import { Database, type Queryable } from '../index.js';

export interface DecisionRow {
  id: number;
  findingId: string;
  unitId: number;
  kind: string;
  person: { id: number; name: string };
  at: Date;
  version: number;
  document: object;
  finding: object;
}

export interface StateRow {
  findingId: string;
  unitId: number;
  version: number;
  kind: string;
  urgency: string;
  decided: Date;
  due: Date | null;
  by: { id: number; name: string };
  assignee: { id: number; name: string } | null;
  document: object;
  finding: object;
  /** The finding as it is in the store now; null: its retention is over. */
  now: { urgency: string; endedAt: Date | null; lastSeen_s: number } | null;
  foundAgainAt: Date | null;
}

export interface NewDecision {
  findingId: string;
  unitId: number;
  kind: string;
  personId: number;
  key: string | null;
  document: object;
  finding: object & { urgency: string };
  /** Null for a note. */
  plan: { expected: number; assigneeId: number | null; due: string | null; dueAtEndOfDay: boolean } | null;
}

/** A visit after which the finding that it closed ended. */
export interface HelpfulVisit {
  findingId: string;
  unitId: number;
  subject: FindingSubject;
  closed: Date;
}

const decisionColumns = `d.id, d.finding_id::text as "findingId", d.unit_id as "unitId", d.kind, d.version, d.document, d.finding,
  jsonb_build_object('id', p.id, 'name', p.name) as person, d.decided_at as at`;

const selectStates = `select s.finding_id::text as "findingId", s.unit_id as "unitId", s.version, s.kind, s.urgency,
  d.decided_at as decided, s.due_at as due, d.document, d.finding,
  jsonb_build_object('id', p.id, 'name', p.name) as by,
  case when a.id is null then null else jsonb_build_object('id', a.id, 'name', a.name) end as assignee,
  f.urgency as "nowUrgency", f.ended_at as "endedAt", (f.document->>'lastSeen_s')::float8 as "lastSeen_s",
  case when s.kind = 'close' then (
    select min(g.opened_at) from finding g
     where g.unit_id = s.unit_id and g.opened_at > d.decided_at and g.id <> s.finding_id
       and g.subject_key = f.subject_key and g.condition = f.condition) end as "foundAgainAt"
  from decision_state s
  join decision d on d.id = s.decision_id
  join person p on p.id = d.person_id
  left join person a on a.id = s.assignee_id
  left join finding f on f.id = s.finding_id`;

type SelectedState = Omit<StateRow, 'now'> & {
  nowUrgency: string | null;
  endedAt: Date | null;
  lastSeen_s: number | null;
};

const stateOf = ({ nowUrgency, endedAt, lastSeen_s, ...row }: SelectedState): StateRow => ({
  ...row,
  now: nowUrgency === null ? null : { urgency: nowUrgency, endedAt, lastSeen_s: lastSeen_s ?? 0 },
});

/** What people decided on findings. */
export class DecisionRepository {
  constructor(private readonly database: Database) {}

  /** The decision that was sent with this key before, if it was. */
  async byKey(key: string, by: Queryable = this.database): Promise<DecisionRow | null> {
    const { rows } = await by.query<DecisionRow>(
      `select ${decisionColumns} from decision d join person p on p.id = d.person_id where d.key = $1`,
      [key],
    );
    return rows[0] ?? null;
  }

  /**
   * Writes a decision. One that plans holds only where the plan's version is still the expected one; otherwise nothing
   * is written and null returned.
   */
  async add(decision: NewDecision, by: Queryable): Promise<number | null> {
    const { plan } = decision;
    // The row of the finding's plan is locked first, so that of two at once the second sees the first's version.
    const { rows: states } = await by.query<{ version: number }>(
      'select version from decision_state where finding_id = $1 for update',
      [decision.findingId],
    );
    const current = states[0]?.version ?? 0;
    if (plan !== null && plan.expected !== current) return null;
    const version = current + (plan === null ? 0 : 1);
    const { rows } = await by.query<{ id: number }>(
      `insert into decision (finding_id, unit_id, kind, person_id, version, key, document, finding)
       values ($1, $2, $3, $4, $5, $6, $7, $8) returning id`,
      [
        decision.findingId,
        decision.unitId,
        decision.kind,
        decision.personId,
        version,
        decision.key,
        JSON.stringify(decision.document),
        JSON.stringify(decision.finding),
      ],
    );
    if (plan === null) return rows[0].id;
    // Of two first decisions at once there was no row to lock: the second fails here, and takes its decision back.
    const { rowCount } = await by.query(
      `insert into decision_state as s (finding_id, unit_id, version, decision_id, kind, urgency, assignee_id, due_at)
       select $1, $2, $3, $4, $5, $6, $7,
              ($8::date + case when $9 then 1 else 0 end)::timestamp at time zone
                (select time_zone from site join unit on unit.site_id = site.id where unit.id = $2)
       on conflict (finding_id) do update set version = excluded.version, decision_id = excluded.decision_id,
         kind = excluded.kind, urgency = excluded.urgency, assignee_id = excluded.assignee_id, due_at = excluded.due_at,
         learned_anew = false
        where s.version = excluded.version - 1`,
      [
        decision.findingId,
        decision.unitId,
        version,
        rows[0].id,
        decision.kind,
        decision.finding.urgency,
        plan.assigneeId,
        plan.due,
        plan.dueAtEndOfDay,
      ],
    );
    if (rowCount === 1) return rows[0].id;
    await by.query('delete from decision where id = $1', [rows[0].id]);
    return null;
  }

  /** The round is brought up to date for a unit. */
  async markUnit(unitId: number, by: Queryable): Promise<void> {
    await by.query('insert into attention_due (unit_id) values ($1)', [unitId]);
  }

  async ofFinding(findingId: string): Promise<DecisionRow[]> {
    const { rows } = await this.database.query<DecisionRow>(
      `select ${decisionColumns} from decision d join person p on p.id = d.person_id
        where d.finding_id = $1 order by d.id`,
      [findingId],
    );
    return rows;
  }

  async states(findingIds: readonly string[], by: Queryable = this.database): Promise<StateRow[]> {
    if (findingIds.length === 0) return [];
    const { rows } = await by.query<SelectedState>(`${selectStates} where s.finding_id = any($1::bigint[])`, [
      findingIds,
    ]);
    return rows.map(stateOf);
  }

  async statesOfUnits(unitIds: readonly number[], by: Queryable = this.database): Promise<StateRow[]> {
    if (unitIds.length === 0) return [];
    const { rows } = await by.query<SelectedState>(
      `${selectStates} where s.unit_id = any($1::int[]) order by s.decision_id desc`,
      [unitIds],
    );
    return rows.map(stateOf);
  }

  /** What is handed over to a person and not closed since, the earliest due first. */
  async handedTo(personId: number): Promise<StateRow[]> {
    const { rows } = await this.database.query<SelectedState>(
      `${selectStates} where s.kind = 'hand-over' and s.assignee_id = $1 and f.ended_at is null
        order by s.due_at, s.decision_id`,
      [personId],
    );
    return rows.map(stateOf);
  }

  /** Every closing, of some sites only where they are named; the newest `limit`. */
  async closings(sites: readonly string[] | null, limit: number): Promise<DecisionRow[]> {
    const { rows } = await this.database.query<DecisionRow>(
      `select ${decisionColumns} from decision d join person p on p.id = d.person_id
         join unit u on u.id = d.unit_id join site s on s.id = u.site_id
        where d.kind = 'close' and ($1::text[] is null or s.key = any($1)) order by d.id desc limit $2`,
      [sites, limit],
    );
    return rows;
  }

  /** Marks units for the round whose put-off or accepted findings came back between two moments. */
  async markReturned(after: Date, until: Date): Promise<number> {
    const { rowCount } = await this.database.query(
      `insert into attention_due (unit_id)
       select distinct unit_id from decision_state
        where kind in ('put-off', 'accept') and due_at > $1 and due_at <= $2`,
      [after, until],
    );
    return rowCount ?? 0;
  }

  /** Takes the visits that found a cause and after which the finding ended, each once. */
  async takeHelped(by: Queryable): Promise<HelpfulVisit[]> {
    const { rows } = await by.query<HelpfulVisit>(
      `update decision_state s set learned_anew = true from decision d, finding f
        where s.kind = 'close' and not s.learned_anew and d.id = s.decision_id and f.id = s.finding_id
          and d.document #>> '{seen,kind}' <> 'nothing' and f.ended_at > d.decided_at
        returning s.finding_id::text as "findingId", s.unit_id as "unitId", d.finding->'subject' as subject, d.decided_at as closed`,
    );
    return rows;
  }
}
