import type { Database } from '../connection/database.js';
import { mostAttempts } from './circuit-work.repository.js';

const leaseTime = `interval '1 minute'`;

/** Work on backup modules: taken by a lease in the module's state, those with news first. */
export class ModuleWorkRepository {
  constructor(private readonly database: Database) {}

  /** Gives each module of the registry a state. */
  async enrol(): Promise<void> {
    await this.database.query(
      `insert into module_state (module_id) select id from module m
        where not exists (select from module_state s where s.module_id = m.id) on conflict do nothing`,
    );
  }

  /**
   * Modules with a closing that is not judged, with other news (mains seen gone), or with telemetry and a result older
   * than `refresh_s`. One with news is not assessed again within `pause_s`, so that a stream of closings is judged in few goes.
   */
  async take(holder: string, refresh_s: number, pause_s: number, limit: number): Promise<number[]> {
    const { rows } = await this.database.query<{ module_id: number }>(
      `with chosen as (
         select s.module_id from module_state s join module_due d using (module_id)
          where (s.leased_until is null or s.leased_until < now())
            and (s.not_before is null or s.not_before < now())
            and (s.assessed_at is null or s.assessed_at < now() - $2 * interval '1 second'
              or (d.news_at is not null and s.assessed_at < now() - $3 * interval '1 second'))
          order by d.news_at is not null desc, s.assessed_at nulls first, s.module_id limit $4 for update of s skip locked)
       update module_state s set lease = $1, leased_until = now() + ${leaseTime}
         from chosen where s.module_id = chosen.module_id returning s.module_id`,
      [holder, refresh_s, pause_s, limit],
    );
    return rows.map((row) => row.module_id);
  }

  /** When telemetry last touched the module, as the store has it. */
  async touchedAt(moduleId: number): Promise<string | null> {
    const { rows } = await this.database.query<{ touched: string }>(
      'select touched_at::text as touched from module_due where module_id = $1',
      [moduleId],
    );
    return rows[0]?.touched ?? null;
  }

  /** The module was assessed; what touched it since keeps it due. */
  async settle(moduleId: number, touchedAt: string | null): Promise<void> {
    await this.database.query(
      'delete from module_due where module_id = $1 and touched_at = $2::text::timestamptz',
      [moduleId, touchedAt],
    );
    await this.database.query(
      `with told as (
         update module_due set news_at = null where module_id = $1 and news_at <= $2::text::timestamptz)
       update module_state set assessed_at = now(), attempts = 0, not_before = null, failure = null, failed_at = null
        where module_id = $1`,
      [moduleId, touchedAt],
    );
  }

  async fail(moduleId: number, reason: string, backOff_s: number): Promise<void> {
    await this.database.query(
      `update module_state set attempts = least(attempts + 1, 1000), failure = $2, failed_at = now(),
              not_before = case when attempts + 1 >= $4 then date_bin('2 hours', now(), timestamptz 'epoch') + interval '2 hours 5 minutes'
                                else now() + $3 * power(4, attempts) * interval '1 second' end
        where module_id = $1`,
      [moduleId, reason, backOff_s, mostAttempts],
    );
  }

  async release(holder: string): Promise<void> {
    await this.database.query('update module_state set lease = null, leased_until = null where lease = $1', [
      holder,
    ]);
  }

  /** Whether history of the module is still coming in: closings wait, or it was touched by old telemetry just now. */
  async isLoading(moduleId: number): Promise<boolean> {
    const { rows } = await this.database.query<{ loading: boolean }>(
      `select exists (select from closing_due where module_id = $1) or exists (
         select from module m join circuit c using (unit_id) join window_due d on d.circuit_id = c.id
          where m.id = $1 and d.window_start + interval '2 hours' < now() - interval '1 minute') as loading`,
      [moduleId],
    );
    return rows[0].loading;
  }

  /** Closings on which the judgement fails. */
  async noteFailed(
    moduleId: number,
    failed: readonly { startedAt_s: number; reason: string }[],
  ): Promise<void> {
    if (failed.length === 0) return;
    await this.database.query(
      `with failed as (select to_timestamp(started_s) as started_at, reason from unnest($2::float8[], $3::text[]) as f(started_s, reason)),
       kept as (
         insert into not_judged (kind, owner_id, starts_at, reason) select 'closing', $1, started_at, reason from failed
         on conflict (kind, owner_id, starts_at) do update set reason = excluded.reason, failed_at = now())
       delete from closing_due d using failed f where d.module_id = $1 and d.started_at = f.started_at`,
      [moduleId, failed.map(({ startedAt_s }) => startedAt_s), failed.map(({ reason }) => reason)],
    );
  }
}
