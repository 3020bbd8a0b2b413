import {
  packMonths,
  type ClosingJudgement,
  type ClosingTrace,
  type EarlierAssessment,
  type ModuleAssessment,
  type PowerLossReview,
} from '@coldrounds/core';
import type { Queryable } from '../../connection/database.js';
import { decodeFloats } from '../readings/float-arrays.js';

/** What is read of a module's assessment: without findings, and without the months of ageing. */
export type StoredAssessment = Omit<ModuleAssessment, 'findings' | 'ageing'>;

export interface StoredClosing {
  startedAt_s: number;
  trace: ClosingTrace;
  /** Of the module at the time; null where nothing was sent within a quarter of an hour. */
  temperature_K: number | null;
  mains: 0 | 1 | null;
}

interface ClosingRow {
  started_s: number;
  time_s: Buffer;
  voltage_v: Buffer;
  current_a: Buffer;
  valve_opening_pct: Buffer;
  temperature_k: number | null;
  mains: number | null;
}

const traceColumns = `array_send(c.time_s) as time_s, array_send(c.voltage_v) as voltage_v,
  array_send(c.current_a) as current_a, array_send(c.valve_opening_pct) as valve_opening_pct`;

/**
 * The module's own readings around a closing: its temperature, and whether the mains contact was seen gone. Readings
 * come every minute, so the mains is looked for over three minutes from the start.
 */
const surroundings = `left join lateral (
    select temperature_k from backup_reading b where b.module_id = c.module_id and b.temperature_k is not null
       and b.time between c.started_at - interval '15 minutes' and c.started_at + interval '15 minutes'
     order by abs(extract(epoch from b.time - c.started_at)) limit 1) t on true
  left join lateral (
    select min(b.mains::int) as mains from backup_reading b where b.module_id = c.module_id and b.mains is not null
       and b.time between c.started_at - interval '5 seconds' and c.started_at + interval '3 minutes') m on true`;

const storedClosing = (row: ClosingRow): StoredClosing => ({
  startedAt_s: row.started_s,
  trace: {
    time_s: decodeFloats(row.time_s),
    voltage_V: decodeFloats(row.voltage_v),
    current_A: decodeFloats(row.current_a),
    valveOpening_pct: decodeFloats(row.valve_opening_pct),
  },
  temperature_K: row.temperature_k,
  mains: row.mains === null ? null : row.mains === 0 ? 0 : 1,
});

/** Backup modules: closings, what they showed, and what follows. */
export class ModuleRepository {
  constructor(private readonly database: Queryable) {}

  /**
   * Closings that are not judged, or were judged lately without knowing temperature or mains, which may have come since.
   */
  async closingsToJudge(moduleId: number, limit: number): Promise<StoredClosing[]> {
    const { rows } = await this.database.query<ClosingRow>(
      `with looked_at as (
         select started_at from closing_due where module_id = $1
         union select started_at from closing_result
                where module_id = $1 and judged_at > now() - interval '30 minutes'
                  and (temperature_k is null or detail->>'kindSeen' = 'false'))
       select extract(epoch from c.started_at)::float8 as started_s, ${traceColumns}, t.temperature_k, m.mains
         from looked_at join closing c on c.module_id = $1 and c.started_at = looked_at.started_at
         left join closing_result r on r.module_id = $1 and r.started_at = looked_at.started_at ${surroundings}
        where exists (select from closing_due d where d.module_id = $1 and d.started_at = looked_at.started_at)
           or (t.temperature_k is not null and r.temperature_k is null
               or m.mains is not null and r.detail->>'kindSeen' = 'false')
        order by c.started_at limit $2`,
      [moduleId, limit],
    );
    return rows.map(storedClosing);
  }

  /** Closings are named by the second in which they began. */
  closing(moduleId: number, startedAt_s: number): Promise<StoredClosing | null> {
    return this.closingWithin(moduleId, Math.floor(startedAt_s), Math.floor(startedAt_s) + 1);
  }

  /** The first closing that began within the span. */
  async closingWithin(moduleId: number, from_s: number, to_s: number): Promise<StoredClosing | null> {
    const { rows } = await this.database.query<ClosingRow>(
      `select extract(epoch from c.started_at)::float8 as started_s, ${traceColumns}, t.temperature_k, m.mains
         from closing c ${surroundings}
        where c.module_id = $1 and c.started_at >= to_timestamp($2) and c.started_at < to_timestamp($3)
        order by c.started_at limit 1`,
      [moduleId, from_s, to_s],
    );
    return rows.length === 0 ? null : storedClosing(rows[0]);
  }

  async writeClosings(moduleId: number, judgements: ClosingJudgement[]): Promise<void> {
    if (judgements.length === 0) return;
    const of = <K extends keyof ClosingJudgement>(name: K) => judgements.map((judgement) => judgement[name]);
    await this.database.query(
      `with judged as (
         delete from closing_due d using unnest($2::float8[]) as j(started_s)
          where d.module_id = $1 and d.started_at = to_timestamp(j.started_s))
       insert into closing_result (module_id, started_at, judged_at, kind, capacitance_f, esr_ohm, temperature_k, voltage_before_v, shut, detail)
       select $1, to_timestamp(j.started_s), now(), j.kind, j.capacitance, j.esr, j.temperature, j.voltage, j.shut, j.detail::jsonb
         from unnest($2::float8[], $3::text[], $4::real[], $5::real[], $6::real[], $7::real[], $8::boolean[], $9::text[])
              as j(started_s, kind, capacitance, esr, temperature, voltage, shut, detail)
       on conflict (module_id, started_at) do update set judged_at = excluded.judged_at, kind = excluded.kind,
         capacitance_f = excluded.capacitance_f, esr_ohm = excluded.esr_ohm, temperature_k = excluded.temperature_k,
         voltage_before_v = excluded.voltage_before_v, shut = excluded.shut, detail = excluded.detail`,
      [
        moduleId,
        of('startedAt_s'),
        of('kind'),
        of('capacitance_F'),
        of('esr_Ohm'),
        of('temperature_K'),
        of('voltageBefore_V'),
        of('shut'),
        judgements.map((judgement) => JSON.stringify(judgement)),
      ],
    );
  }

  /** Judged closings of the last `days`, in time order. */
  async judgements(moduleId: number, from_s: number): Promise<ClosingJudgement[]> {
    const { rows } = await this.database.query<{ detail: ClosingJudgement }>(
      `select detail from closing_result where module_id = $1 and started_at >= to_timestamp($2) order by started_at`,
      [moduleId, from_s],
    );
    return rows.map((row) => row.detail);
  }

  async writeAssessment(
    moduleId: number,
    assessment: Omit<ModuleAssessment, 'findings'>,
    { closingReserve, closingTime_s }: { closingReserve: number | null; closingTime_s: number | null },
  ): Promise<void> {
    await this.database.query(
      `insert into module_result (module_id, judged_at, closing_reserve, closing_time_s, baseline, ageing_months, detail)
       values ($1, now(), $2, $3, $4, $5, $6)
       on conflict (module_id) do update set judged_at = now(), closing_reserve = excluded.closing_reserve,
         closing_time_s = excluded.closing_time_s, baseline = excluded.baseline,
         ageing_months = excluded.ageing_months, detail = excluded.detail`,
      [
        moduleId,
        closingReserve,
        closingTime_s,
        JSON.stringify(assessment.baseline),
        Buffer.from(packMonths(assessment.ageing)),
        JSON.stringify(assessment),
      ],
    );
  }

  /** When the module was first assessed; null: never. */
  async firstJudged_s(moduleId: number): Promise<number | null> {
    const { rows } = await this.database.query<{ at_s: number }>(
      'select extract(epoch from first_judged_at)::float8 as at_s from module_result where module_id = $1',
      [moduleId],
    );
    return rows[0]?.at_s ?? null;
  }

  /** What the last assessment keeps for the next; null where there was none, or one that kept nothing yet. */
  async earlier(moduleId: number): Promise<EarlierAssessment | null> {
    const { rows } = await this.database.query<EarlierAssessment>(
      `select detail->>'installedOn' as "installedOn", detail->'baseline' as baseline, detail->'ageing' as ageing
         from module_result where module_id = $1 and detail ? 'installedOn' and detail ? 'ageing'`,
      [moduleId],
    );
    return rows[0] ?? null;
  }

  /** Without the months of ageing, which only the field study reads. */
  async assessments(moduleIds: number[]): Promise<Map<number, { judgedAt: Date; detail: StoredAssessment }>> {
    const { rows } = await this.database.query<{
      module_id: number;
      judged_at: Date;
      detail: StoredAssessment;
    }>(
      `select module_id, judged_at, detail - 'ageing' as detail from module_result where module_id = any($1)`,
      [moduleIds],
    );
    return new Map(rows.map((row) => [row.module_id, { judgedAt: row.judged_at, detail: row.detail }]));
  }

  async writeReviews(moduleId: number, reviews: Omit<PowerLossReview, 'findings'>[]): Promise<void> {
    if (reviews.length === 0) return;
    await this.database.query(
      `insert into power_loss_review (module_id, lost_at, judged_at, detail)
       select $1, to_timestamp(r.lost_s), now(), r.detail::jsonb from unnest($2::float8[], $3::text[]) as r(lost_s, detail)
       on conflict (module_id, lost_at) do update set judged_at = now(), detail = excluded.detail`,
      [moduleId, reviews.map(({ from_s }) => from_s), reviews.map((review) => JSON.stringify(review))],
    );
  }

  async reviews(moduleIds: number[]): Promise<Omit<PowerLossReview, 'findings'>[]> {
    const { rows } = await this.database.query<{ detail: Omit<PowerLossReview, 'findings'> }>(
      'select detail from power_loss_review where module_id = any($1) order by lost_at desc limit 200',
      [moduleIds],
    );
    return rows.map((row) => row.detail);
  }
}
