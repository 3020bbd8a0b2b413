import type { Database, Queryable } from '../connection/database.js';
import type {
  HourOfSamples,
  KeptWindow,
  SeriesHabits,
  SignalReports,
  WindowPlateaus,
} from '@coldrounds/core';
import { PartitionKeeper, weeksOf } from '../schema/time-series.js';
import type { CircuitClaims, WindowRepository } from '../repositories/results/window.repository.js';
import type { Rollup } from '../schema/rollups.js';
import { writeMissing } from './missing-samples.repository.js';
import { writeSignals } from './circuit-signals.repository.js';

export interface DuePolicy {
  /** Seconds without telemetry after which a window that ended long ago is taken as complete. */
  settledHistory_s: number;
  /** Likewise for a window that ended within the last quarter of an hour. */
  settled_s: number;
  /** How often the running window is judged anew. */
  provisional_s: number;
  /** Least time between two assessments of one circuit, while its history comes in and otherwise. */
  pauseLoading_s: number;
  pause_s: number;
}

export interface DueWindow {
  circuitId: number;
  start_s: number;
  /** As the store has it, to tell later whether telemetry came meanwhile. */
  touchedAt: string;
  running: boolean;
}

/** A circuit that was taken; `live`: only its windows of the last day are to be judged now. */
export interface TakenCircuit {
  circuitId: number;
  live: boolean;
}

export interface OwedAssessment {
  circuitId: number;
  /** As the store has it. */
  owedSince: string;
  /** Ended windows of the circuit still wait: history is coming in. */
  loading: boolean;
  /** End of the newest judged window. */
  judgedUntil_s: number;
  /** Windows of it that were judged so far. */
  windowsJudged: number;
  sensorsUntil_s: number | null;
  sensorsSettled: boolean;
}

export interface JudgedCircuit {
  circuitId: number;
  due: DueWindow[];
  kept: KeptWindow[];
  plateaus: WindowPlateaus[];
  rollups: Rollup[];
  /** What came in each hour of ended windows, where that can be told. */
  hours: HourOfSamples[];
  /** Windows on which the judgement failed, with the reason. */
  failed: { start_s: number; reason: string }[];
}

export interface AssessedCircuit {
  circuitId: number;
  owedSince: string;
  loading: boolean;
  claims: CircuitClaims | null;
  /** `habits`: what is to be remembered of how the signals are sent; null: nothing. `signals`: what is shown of them. */
  sensors: {
    until_s: number;
    settled: boolean;
    habits: SeriesHabits | null;
    signals?: SignalReports | null;
  } | null;
}

/** A circuit is tried so often at once; after that, once in each window of two hours. */
export const mostAttempts = 5;
/** A lease that is older belongs to an assessor that has ended. */
const leaseTime = `interval '1 minute'`;
const running = `d.window_start > now() - interval '2 hours'`;
/** Ended, and quiet for long enough to be complete. */
const ended = `(d.window_start <= now() - interval '2 hours' and d.touched_at < now() - interval '1 second' *
  case when d.window_start < now() - interval '135 minutes' then $1::float8 else $2::float8 end)`;
const ofTheDay = `d.window_start > now() - interval '26 hours'`;

/**
 * Work on circuits: taken by a lease in the circuit's state, in sets, the windows of the running day before history. All
 * that a step changes is committed together, and only where the lease still holds.
 */
export class CircuitWorkRepository {
  private readonly partitions: PartitionKeeper;

  constructor(
    private readonly database: Database,
    private readonly windows: WindowRepository,
  ) {
    this.partitions = new PartitionKeeper(database.pool);
  }

  /** Gives each circuit of the registry a state. */
  async enrol(): Promise<void> {
    await this.database.query(
      `insert into circuit_state (circuit_id) select id from circuit c
        where not exists (select from circuit_state s where s.circuit_id = c.id) on conflict do nothing`,
    );
  }

  /**
   * Takes circuits that wait, and with each the others of its unit: their findings use each other's windows. Of
   * those that were taken along, only windows of the last day are judged.
   */
  async take(holder: string, policy: DuePolicy, limit: number): Promise<TakenCircuit[]> {
    const { rows } = await this.database.query<{ circuit_id: number; live: boolean }>(
      `with due as (
         select d.circuit_id, bool_or(${ofTheDay}) as live, min(d.touched_at) as since
           from window_due d where ${ended} group by d.circuit_id),
       runs as (select distinct d.circuit_id from window_due d where ${running}),
       chosen as (
         select s.circuit_id, coalesce(due.live, false) as live
           from circuit_state s left join due using (circuit_id) left join runs using (circuit_id)
          where (s.leased_until is null or s.leased_until < now())
            and (s.not_before is null or s.not_before < now())
            and not exists (select from reconversion r where r.circuit_id = s.circuit_id)
            and (due.circuit_id is not null
              or (s.owed_since is not null and s.assess_from <= now())
              or (runs.circuit_id is not null and (s.running_judged_at is null
                    or s.running_judged_at < now() - $3 * interval '1 second')))
          order by case when due.live then 0 when s.owed_since is not null and s.assess_from <= now() then 1
                        when due.circuit_id is null then 2 else 3 end,
                   coalesce(due.since, s.owed_since, s.running_judged_at) nulls first, s.circuit_id
          limit $4 for update of s skip locked),
       together as (
         select s.circuit_id from circuit_state s
          where s.circuit_id in (select circuit_id from chosen)
             or ((s.leased_until is null or s.leased_until < now())
               and (s.not_before is null or s.not_before < now()) and s.circuit_id in (
                  select other.id from chosen join circuit own on own.id = chosen.circuit_id
                    join circuit other on other.unit_id = own.unit_id))
            for update of s skip locked)
       update circuit_state s set lease = $5, leased_until = now() + ${leaseTime}
         from together left join chosen using (circuit_id) where s.circuit_id = together.circuit_id
       returning s.circuit_id, coalesce(chosen.live, true) as live`,
      [policy.settledHistory_s, policy.settled_s, policy.provisional_s, limit, holder],
    );
    return rows.map((row) => ({ circuitId: row.circuit_id, live: row.live })).sort(byCircuit);
  }

  /** The windows to judge now of circuits that were taken: those of the last day first, then the oldest. */
  async dueWindows(taken: readonly TakenCircuit[], policy: DuePolicy, each: number): Promise<DueWindow[]> {
    const { rows } = await this.database.query<DueWindow>(
      `select circuit_id as "circuitId", start_s, touched as "touchedAt", running from (
         select d.circuit_id, extract(epoch from d.window_start)::float8 as start_s, d.touched_at::text as touched,
                ${running} as running,
                row_number() over (partition by d.circuit_id order by ${ofTheDay} desc, d.window_start) as n
           from unnest($4::int[], $5::boolean[]) as t(id, live)
           join window_due d on d.circuit_id = t.id
           join circuit_state s on s.circuit_id = d.circuit_id
          where (${ended} and (not t.live or ${ofTheDay}))
             or (${running} and (s.running_judged_at is null
                   or s.running_judged_at < now() - $3 * interval '1 second'))) as numbered
        where n <= $6 order by circuit_id, start_s`,
      [
        policy.settledHistory_s,
        policy.settled_s,
        policy.provisional_s,
        taken.map(({ circuitId }) => circuitId),
        taken.map(({ live }) => live),
        each,
      ],
    );
    return rows;
  }

  /**
   * Keeps what was judged, takes the windows off the list except where telemetry came after they were read, and owes
   * the circuits' findings the news.
   */
  async keepJudged(
    holder: string,
    judged: readonly JudgedCircuit[],
    /** Circuits whose findings use these windows. */
    owing: readonly number[],
    policy: DuePolicy,
  ): Promise<void> {
    const times_ms = judged.flatMap(({ kept, hours }) => [
      ...kept.map(({ start_s }) => start_s * 1000),
      ...hours.map(({ hour_s }) => hour_s * 1000),
    ]);
    try {
      await this.makePartitions(times_ms);
      await this.writeJudged(holder, judged, owing, policy);
    } catch (error) {
      if ((error as { code?: string }).code !== '23514') throw error;
      // "no partition found": retention dropped a part that was known to be there.
      this.partitions.forget();
      await this.makePartitions(times_ms);
      await this.writeJudged(holder, judged, owing, policy);
    }
  }

  private async makePartitions(times_ms: readonly number[]): Promise<void> {
    for (const table of ['circuit_day', 'daily_figures', 'rollup_window', 'missing_samples'])
      await this.partitions.ensure(table, weeksOf(times_ms));
  }

  private async writeJudged(
    holder: string,
    judged: readonly JudgedCircuit[],
    owing: readonly number[],
    policy: DuePolicy,
  ): Promise<void> {
    await this.database.transaction(async (client) => {
      const held = await this.held(
        client,
        holder,
        owing.map((circuitId) => ({ circuitId })),
      );
      const ids = new Set(held.map(({ circuitId }) => circuitId));
      const mine = judged.filter(({ circuitId }) => ids.has(circuitId));
      const fresh = await this.windows.keep(
        client,
        new Map(mine.map(({ circuitId, kept, plateaus }) => [circuitId, { windows: kept, plateaus }])),
      );
      await this.windows.writeRollups(
        client,
        mine.flatMap(({ circuitId, rollups }) => rollups.map((rollup) => ({ circuitId, rollup }))),
      );
      await writeMissing(client, mine);
      await settleWindows(client, mine);
      await noteFailed(client, mine);
      await noteJudged(client, mine, fresh);
      await owe(client, [...ids], policy);
    });
  }

  /** Circuits of these whose findings are to be brought up to date now. */
  async owed(circuitIds: readonly number[]): Promise<OwedAssessment[]> {
    const { rows } = await this.database.query<OwedAssessment>(
      `select s.circuit_id as "circuitId", s.owed_since::text as "owedSince",
              extract(epoch from s.judged_until)::float8 as "judgedUntil_s", s.windows_judged as "windowsJudged",
              extract(epoch from s.sensors_until)::float8 as "sensorsUntil_s", s.sensors_settled as "sensorsSettled",
              exists (select from window_due d where d.circuit_id = s.circuit_id
                       and d.window_start + interval '2 hours' < now() - interval '1 minute') as loading
         from circuit_state s
        where s.circuit_id = any($1) and s.owed_since is not null and s.assess_from <= now()
          and s.judged_until is not null order by s.circuit_id`,
      [circuitIds],
    );
    return rows;
  }

  /**
   * Keeps what follows for circuits, as far as they are still held, together with what `also` writes. While history
   * comes in, findings are provisional and stay owed: once it has come, they must be looked at again.
   */
  async keepAssessed(
    holder: string,
    assessed: readonly AssessedCircuit[],
    policy: DuePolicy,
    also: (client: Queryable, circuitIds: ReadonlySet<number>) => Promise<void>,
  ): Promise<void> {
    await this.database.transaction(async (client) => {
      const mine = await this.held(client, holder, assessed);
      await this.windows.writeAssessments(
        client,
        mine.flatMap(({ claims }) => claims ?? []),
      );
      await writeSignals(client, mine);
      await also(client, new Set(mine.map(({ circuitId }) => circuitId)));
      await client.query(
        `update circuit_state s set assessed_at = now(), attempts = 0, not_before = null, failure = null, failed_at = null,
                owed_since = case when a.loading or s.owed_since <> a.owed::timestamptz then s.owed_since end,
                assess_from = now() + interval '1 second' * case when a.loading then $5::float8 else $6::float8 end,
                sensors_until = coalesce(to_timestamp(a.sensors_s), s.sensors_until),
                sensors_settled = s.sensors_settled or a.sensors_settled,
                habits = case when a.sensors_s is null then s.habits else a.habits::jsonb end
           from unnest($1::int[], $2::text[], $3::boolean[], $4::float8[], $7::boolean[], $8::text[])
                as a(id, owed, loading, sensors_s, sensors_settled, habits)
          where s.circuit_id = a.id`,
        [
          mine.map(({ circuitId }) => circuitId),
          mine.map(({ owedSince }) => owedSince),
          mine.map(({ loading }) => loading),
          mine.map(({ sensors }) => sensors?.until_s ?? null),
          policy.pauseLoading_s,
          policy.pause_s,
          mine.map(({ sensors }) => sensors?.settled ?? false),
          mine.map(({ sensors }) => (sensors?.habits ? JSON.stringify(sensors.habits) : null)),
        ],
      );
    });
  }

  /** Gives back what was taken. */
  async release(holder: string): Promise<void> {
    await this.database.query('update circuit_state set lease = null, leased_until = null where lease = $1', [
      holder,
    ]);
  }

  /** The work on a circuit failed: it is tried again later and later, and after some attempts once in each window. */
  async fail(circuitId: number, reason: string, backOff_s: number): Promise<void> {
    await this.database.query(
      `update circuit_state set attempts = least(attempts + 1, 1000), failure = $2, failed_at = now(),
              not_before = case when attempts + 1 >= $4 then date_bin('2 hours', now(), timestamptz 'epoch') + interval '2 hours 5 minutes'
                                else now() + $3 * power(4, attempts) * interval '1 second' end
        where circuit_id = $1`,
      [circuitId, reason, backOff_s, mostAttempts],
    );
  }

  async count(): Promise<number> {
    return (await this.database.query<{ n: number }>('select count(*)::int as n from circuit_state')).rows[0]
      .n;
  }

  /** Of `circuits` those that are still held under the lease, locked to the end of the transaction. */
  private async held<Circuit extends { circuitId: number }>(
    client: Queryable,
    holder: string,
    circuits: readonly Circuit[],
  ): Promise<Circuit[]> {
    const { rows } = await client.query<{ circuit_id: number }>(
      `select circuit_id from circuit_state where circuit_id = any($1) and lease = $2
        order by circuit_id for update`,
      [circuits.map(({ circuitId }) => circuitId), holder],
    );
    const held = new Set(rows.map((row) => row.circuit_id));
    return circuits.filter(({ circuitId }) => held.has(circuitId));
  }
}

const byCircuit = (a: TakenCircuit, b: TakenCircuit) => a.circuitId - b.circuitId;

async function settleWindows(client: Queryable, judged: readonly JudgedCircuit[]): Promise<void> {
  const ended = judged.flatMap(({ due }) => due.filter(({ running }) => !running));
  if (ended.length === 0) return;
  await client.query(
    `delete from window_due d using unnest($1::int[], $2::float8[], $3::text[]) as j(id, start_s, touched)
      where d.circuit_id = j.id and d.window_start = to_timestamp(j.start_s) and d.touched_at = j.touched::timestamptz`,
    [
      ended.map(({ circuitId }) => circuitId),
      ended.map(({ start_s }) => start_s),
      ended.map(({ touchedAt }) => touchedAt),
    ],
  );
  await client.query(
    `delete from not_judged n using unnest($1::int[], $2::float8[]) as j(id, start_s)
      where n.kind = 'window' and n.owner_id = j.id and n.starts_at = to_timestamp(j.start_s)`,
    [ended.map(({ circuitId }) => circuitId), ended.map(({ start_s }) => start_s)],
  );
}

async function noteFailed(client: Queryable, judged: readonly JudgedCircuit[]): Promise<void> {
  const failed = judged.flatMap(({ circuitId, failed: windows }) =>
    windows.map(({ start_s, reason }) => ({ circuitId, start_s, reason })),
  );
  if (failed.length === 0) return;
  await client.query(
    `insert into not_judged (kind, owner_id, starts_at, reason)
     select 'window', f.id, to_timestamp(f.start_s), f.reason from unnest($1::int[], $2::float8[], $3::text[]) as f(id, start_s, reason)
     on conflict (kind, owner_id, starts_at) do update set reason = excluded.reason, failed_at = now()`,
    [
      failed.map(({ circuitId }) => circuitId),
      failed.map(({ start_s }) => start_s),
      failed.map(({ reason }) => reason),
    ],
  );
}

async function noteJudged(
  client: Queryable,
  judged: readonly JudgedCircuit[],
  fresh: ReadonlyMap<number, number>,
): Promise<void> {
  await client.query(
    `update circuit_state s set
            judged_until = greatest(s.judged_until, to_timestamp(j.until_s)),
            windows_judged = s.windows_judged + j.fresh,
            interval_s = coalesce(j.interval_s, s.interval_s),
            running_judged_at = case when j.ran then now() else s.running_judged_at end
       from unnest($1::int[], $2::float8[], $3::int[], $4::boolean[], $5::real[]) as j(id, until_s, fresh, ran, interval_s)
      where s.circuit_id = j.id`,
    [
      judged.map(({ circuitId }) => circuitId),
      judged.map(({ kept }) =>
        kept.length > 0 ? Math.max(...kept.map(({ start_s }) => start_s)) + 7200 : null,
      ),
      judged.map(({ circuitId }) => fresh.get(circuitId) ?? 0),
      judged.map(({ due }) => due.some(({ running }) => running)),
      judged.map(({ kept }) => kept.at(-1)?.judgement.interval_s ?? null),
    ],
  );
}

/** The findings of circuits are to be brought up to date: at once, or when their pause is over. */
async function owe(client: Queryable, circuitIds: readonly number[], policy: DuePolicy): Promise<void> {
  await client.query(
    `update circuit_state s set leased_until = now() + ${leaseTime}, owed_since = clock_timestamp(),
            assess_from = greatest(now(), s.assessed_at + interval '1 second' * case when exists (
                select from window_due d where d.circuit_id = s.circuit_id
                   and d.window_start + interval '2 hours' < now() - interval '1 minute') then $2::float8 else $3::float8 end)
      where s.circuit_id = any($1)`,
    [circuitIds, policy.pauseLoading_s, policy.pause_s],
  );
}
