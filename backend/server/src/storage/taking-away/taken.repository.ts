import { unpackWindows, type ClosingJudgement, type Finding, type WindowJudgement } from '@coldrounds/core';
import type pg from 'pg';
import type { Database } from '../connection/database.js';
import { telemetryTables, type TelemetryTableName } from '../schema/telemetry-tables.js';
import type { ColdReader } from '../cold/cold-reader.js';
import { readingsOfBoth } from './both-stores.js';
import type { ReadingBlock } from './copied-readings.js';

export interface TakenSpan {
  from_s: number;
  to_s: number;
}

export interface TakenWindow {
  circuitId: number;
  start_s: number;
  judgedAt_s: number;
  judgement: WindowJudgement;
}

export interface TakenDay {
  circuitId: number;
  day_s: number;
  windows: number;
  steadyMinutes: number;
  superheatMean_K: number | null;
  superheatSpread_K: number | null;
  floodbackFraction: number | null;
  starvedFraction: number | null;
  judgedMinutes: number;
  huntingMinutes: number;
  valveMinutes: number;
  valveTravel_strokes: number;
  valveReversals: number;
}

export interface TakenClosing {
  moduleId: number;
  judgedAt_s: number;
  judgement: ClosingJudgement;
}

export interface TakenFinding {
  id: string;
  unitId: number;
  subject: string;
  urgency: string;
  certainty: string;
  opened_s: number;
  updated_s: number;
  ended_s: number | null;
  /** The diagnosed cause that explains it; null: none does. */
  cause: string | null;
  causeWeight: number | null;
  finding: Finding;
}

export interface TakenDecision {
  id: string;
  findingId: string;
  unitId: number;
  kind: string;
  at_s: number;
  person: string;
  /** What was decided. */
  document: Record<string, unknown>;
  /** The finding as it was then. */
  finding: Record<string, unknown>;
}

const atOnce = 2_000;
const epoch = (name: string) => `extract(epoch from ${name})::float8`;

/** Reads whole tables a piece at a time, each as it stood at one moment. */
export class TakenRepository {
  constructor(
    private readonly database: Database,
    private readonly cold: ColdReader | null = null,
  ) {}

  async *readings(name: TelemetryTableName, ownerId: number, span: TakenSpan): AsyncGenerator<ReadingBlock> {
    const table = telemetryTables.find((one) => one.name === name)!;
    const client = await this.database.pool.connect();
    let whole = false;
    try {
      await client.query('begin isolation level repeatable read, read only');
      yield* readingsOfBoth({ client, cold: this.cold }, table, ownerId, span);
      await client.query('commit');
      whole = true;
    } finally {
      // A copy that was left early is still being sent: its connection is of no use.
      client.release(!whole);
    }
  }

  /** Judged windows that start in the span. */
  async *windows(circuitIds: readonly number[], { from_s, to_s }: TakenSpan): AsyncGenerator<TakenWindow[]> {
    const rows = this.pieces<{ circuitId: number; windows: Buffer }>(
      `select circuit_id as "circuitId", windows from circuit_day
        where circuit_id = any($1::int[]) and day > to_timestamp($2) - interval '1 day' and day < to_timestamp($3)
        order by circuit_id, day`,
      [circuitIds, from_s, to_s],
      200,
    );
    for await (const days of rows)
      yield days.flatMap(({ circuitId, windows }) =>
        unpackWindows(windows)
          .filter(({ start_s }) => start_s >= from_s && start_s < to_s)
          .map((window) => ({ circuitId, ...window })),
      );
  }

  /** Days that begin in the span. */
  days(circuitIds: readonly number[], { from_s, to_s }: TakenSpan): AsyncGenerator<TakenDay[]> {
    return this.pieces<TakenDay>(
      `select circuit_id as "circuitId", ${epoch('day')} as day_s, window_count as windows,
              steady_minutes as "steadyMinutes", superheat_mean_k as "superheatMean_K", superheat_spread_k as "superheatSpread_K",
              floodback_share as "floodbackFraction", starved_share as "starvedFraction", judged_minutes as "judgedMinutes",
              hunting_minutes as "huntingMinutes", valve_minutes as "valveMinutes",
              valve_travel_strokes as "valveTravel_strokes", valve_reversals as "valveReversals"
         from circuit_day where circuit_id = any($1::int[]) and day >= to_timestamp($2) and day < to_timestamp($3)
        order by circuit_id, day`,
      [circuitIds, from_s, to_s],
    );
  }

  /** Judged closings that began in the span. */
  closings(moduleIds: readonly number[], { from_s, to_s }: TakenSpan): AsyncGenerator<TakenClosing[]> {
    return this.pieces<TakenClosing>(
      `select module_id as "moduleId", ${epoch('judged_at')} as "judgedAt_s", detail as judgement from closing_result
        where module_id = any($1::int[]) and started_at >= to_timestamp($2) and started_at < to_timestamp($3)
        order by module_id, started_at`,
      [moduleIds, from_s, to_s],
    );
  }

  /** Findings that were open at any time of the span, as they stand or ended, with the diagnosis that explains them. */
  findings(unitIds: readonly number[], { from_s, to_s }: TakenSpan): AsyncGenerator<TakenFinding[]> {
    return this.pieces<TakenFinding>(
      `select f.id::text as id, f.unit_id as "unitId", f.subject_key as subject, f.urgency, f.certainty,
              ${epoch('f.opened_at')} as opened_s, ${epoch('f.updated_at')} as updated_s, ${epoch('f.ended_at')} as ended_s,
              d.cause, d.weight as "causeWeight", f.document as finding
         from finding f left join lateral (
           select cause, (document->>'weight')::float8 as weight from diagnosis
            where unit_id = f.unit_id and document->'symptoms' ? f.id::text and cause <> 'something-else'
              and (ended_at is null or f.ended_at is not null)
            order by ended_at desc nulls first, diagnosis.weight desc, id desc limit 1) d on true
        where f.unit_id = any($1::int[]) and f.opened_at < to_timestamp($3)
          and (f.ended_at is null or f.ended_at >= to_timestamp($2))
        order by f.unit_id, f.id`,
      [unitIds, from_s, to_s],
    );
  }

  decisions(unitIds: readonly number[], { from_s, to_s }: TakenSpan): AsyncGenerator<TakenDecision[]> {
    return this.pieces<TakenDecision>(
      `select d.id::text as id, d.finding_id::text as "findingId", d.unit_id as "unitId", d.kind,
              ${epoch('d.decided_at')} as at_s, p.name as person, d.document, d.finding
         from decision d join person p on p.id = d.person_id
        where d.unit_id = any($1::int[]) and d.decided_at >= to_timestamp($2) and d.decided_at < to_timestamp($3)
        order by d.unit_id, d.id`,
      [unitIds, from_s, to_s],
    );
  }

  /** Rows of a query by a cursor, so many at a time. */
  private async *pieces<Row extends object>(
    text: string,
    values: unknown[],
    size = atOnce,
  ): AsyncGenerator<Row[]> {
    const client = await this.database.pool.connect();
    let broken = true;
    try {
      await client.query('begin read only');
      await client.query(`declare taken no scroll cursor for ${text}`, values);
      for (;;) {
        const { rows } = await client.query<Row & pg.QueryResultRow>(`fetch ${size} from taken`);
        if (rows.length > 0) yield rows;
        if (rows.length < size) break;
      }
      await client.query('commit');
      broken = false;
    } finally {
      client.release(broken);
    }
  }
}
