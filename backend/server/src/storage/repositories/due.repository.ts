import type { Queryable } from '../database.js';

export interface DueWindow {
  start_s: number;
  /** As the store has it, to tell later whether telemetry came meanwhile. */
  touchedAt: string;
}

export interface DuePolicy {
  /** Seconds without telemetry after which a window that ended long ago is taken as complete. */
  settledHistory_s: number;
  /** Likewise for a window that ended within the last quarter of an hour. */
  settled_s: number;
  /** How often the running window is judged anew. */
  provisional_s: number;
  /** Seconds that judged windows may wait for the circuit's assessment before another assessor takes it up. */
  abandoned_s: number;
}

const eligible = `(
  (d.window_start + interval '2 hours' < now() - interval '15 minutes' and d.touched_at < now() - $1 * interval '1 second')
  or (d.window_start + interval '2 hours' <= now() and d.touched_at < now() - $2 * interval '1 second')
  or (d.window_start + interval '2 hours' > now() and not exists (
        select from window_result r where r.circuit_id = d.circuit_id and r.window_start = d.window_start
           and r.judged_at > now() - $3 * interval '1 second'))
)`;

/** Which windows and modules wait for the assessment. */
export class DueRepository {
  constructor(private readonly database: Queryable) {}

  private parameters(policy: DuePolicy): number[] {
    return [policy.settledHistory_s, policy.settled_s, policy.provisional_s];
  }

  /**
   * Circuits that have a window to judge now, or whose judged windows have waited for an assessment so long that whoever
   * judged them must have ended; the one that has waited longest first.
   */
  async circuits(policy: DuePolicy): Promise<number[]> {
    const { rows } = await this.database.query<{ circuit_id: number }>(
      `select circuit_id from (
         select d.circuit_id, d.touched_at as since from window_due d where ${eligible}
         union all
         select circuit_id, judged_at from circuit_due where judged_at < now() - $4 * interval '1 second') waiting
        group by circuit_id order by min(since)`,
      [...this.parameters(policy), policy.abandoned_s],
    );
    return rows.map((row) => row.circuit_id);
  }

  /** The oldest windows of one circuit that can be judged now. */
  async windows(circuitId: number, policy: DuePolicy, limit: number): Promise<DueWindow[]> {
    const { rows } = await this.database.query<DueWindow>(
      `select extract(epoch from d.window_start)::float8 as "start_s", d.touched_at::text as "touchedAt"
         from window_due d where d.circuit_id = $4 and ${eligible} order by d.window_start limit $5`,
      [...this.parameters(policy), circuitId, limit],
    );
    return rows;
  }

  /** Whether ended windows of the circuit still wait: history is coming in. */
  async hasHistoryDue(circuitId: number): Promise<boolean> {
    const { rows } = await this.database.query<{ due: boolean }>(
      `select exists (select from window_due where circuit_id = $1 and window_start + interval '2 hours' < now() - interval '1 minute') as due`,
      [circuitId],
    );
    return rows[0].due;
  }

  /**
   * Takes judged windows off the list, except where telemetry came after they were read, and the running one; and has
   * the circuit's assessment due.
   */
  async settle(circuitId: number, windows: DueWindow[]): Promise<void> {
    await this.database.query(
      `with owed as (
         insert into circuit_due (circuit_id, judged_at) values ($1, clock_timestamp())
         on conflict (circuit_id) do update set judged_at = excluded.judged_at)
       delete from window_due d using unnest($2::float8[], $3::text[]) as j(start_s, touched)
        where d.circuit_id = $1 and d.window_start = to_timestamp(j.start_s) and d.touched_at = j.touched::timestamptz
          and d.window_start + interval '2 hours' <= now()`,
      [circuitId, windows.map(({ start_s }) => start_s), windows.map(({ touchedAt }) => touchedAt)],
    );
  }

  /** When windows were last judged that the circuit's assessment has not seen, as the store has it; null: none. */
  async assessmentDue(circuitId: number): Promise<string | null> {
    const { rows } = await this.database.query<{ judged: string }>(
      'select judged_at::text as judged from circuit_due where circuit_id = $1',
      [circuitId],
    );
    return rows[0]?.judged ?? null;
  }

  /** Takes a circuit off the list, except where more windows were judged since `judgedAt`. */
  async settleAssessment(circuitId: number, judgedAt: string): Promise<void> {
    await this.database.query(
      'delete from circuit_due where circuit_id = $1 and judged_at = $2::text::timestamptz',
      [circuitId, judgedAt],
    );
  }

  /**
   * Modules to assess: those with a closing that is not judged, or with telemetry and a result older than
   * `refresh_s`; and only once nothing came for a while or enough has come.
   */
  async modules(refresh_s: number): Promise<number[]> {
    const { rows } = await this.database.query<{ module_id: number }>(
      `select d.module_id from module_due d left join module_result r using (module_id)
        where r.module_id is null or r.judged_at < now() - $1 * interval '1 second'
           or (r.judged_at < now() - interval '20 seconds' and exists (
                 select from closing c left join closing_result cr using (module_id, started_at)
                  where c.module_id = d.module_id and cr.module_id is null))
        order by r.judged_at nulls first`,
      [refresh_s],
    );
    return rows.map((row) => row.module_id);
  }

  async moduleTouchedAt(moduleId: number): Promise<string | null> {
    const { rows } = await this.database.query<{ touched: string }>(
      'select touched_at::text as touched from module_due where module_id = $1',
      [moduleId],
    );
    return rows[0]?.touched ?? null;
  }

  async settleModule(moduleId: number, touchedAt: string): Promise<void> {
    await this.database.query(
      'delete from module_due where module_id = $1 and touched_at = $2::text::timestamptz',
      [moduleId, touchedAt],
    );
  }
}
