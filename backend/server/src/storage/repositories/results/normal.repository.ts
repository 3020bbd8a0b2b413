import {
  packComparisons,
  readLearned,
  readLike,
  unpackComparisons,
  writeLearned,
  writeLike,
} from '@coldrounds/core';
import type { CircuitAdvice, ComparedPlateau, KeptNormal, UnsoundSpan } from '@coldrounds/core';
import { Database, type Queryable } from '../../connection/database.js';
import { PartitionKeeper, weeksOf } from '../../schema/time-series.js';
import { dayOf } from './window.repository.js';

/** What the registry says of a circuit, as far as its normal depends on that. */
export interface RegisteredFacts {
  refrigerant: string;
  evaporator: string;
  valve: string;
  firmware: string;
}

export type NormalStartReason = 'refrigerant' | 'valve' | 'firmware' | 'evaporator' | 'visit';

/** Learning that was started anew. */
export interface NormalStart {
  circuitId: number;
  startedAt: Date;
  learnFrom_s: number;
  reason: NormalStartReason;
  /** A sentence for a person. */
  detail: string;
}

export interface StoredNormal extends KeptNormal {
  registered: RegisteredFacts;
  /** Learned from no time before this; null: from the first telemetry. */
  learnFrom_s: number | null;
}

/** A circuit's normal as a page says it: without what was learned. */
export interface NormalState {
  circuitId: number;
  complete: boolean;
  seen: number;
  learnedFrom_s: number | null;
  learnedUntil_s: number | null;
  /** So many like units it is compared with until its own normal is learned; null: with none. */
  likeUnits: number | null;
  /** It departs from them. */
  likeDeparts: boolean;
}

export interface KeptComparison {
  circuitId: number;
  /** Windows of the circuit that were judged so far. */
  windows: number;
  /** Null: as it was. */
  normal: StoredNormal | null;
  /** Days whose comparisons changed, with all of their plateaus. */
  days: { day_s: number; compared: readonly ComparedPlateau[] }[];
  startedAnew: Omit<NormalStart, 'circuitId' | 'startedAt'> | null;
  /** What is advised on the circuit now. */
  advice: CircuitAdvice;
}

interface Row {
  circuit_id: number;
  registered: RegisteredFacts;
  learn_from_s: number | null;
  generation: number;
  complete: boolean;
  seen: number;
  basis: number | null;
  learned: string | null;
  like: string | null;
}

const epoch = (column: string) => `extract(epoch from ${column})::float8`;

/** What circuits do while nothing is wrong, and how they compare with that. */
export class NormalRepository {
  private readonly partitions: PartitionKeeper;

  constructor(private readonly database: Database) {
    this.partitions = new PartitionKeeper(database.pool);
  }

  async kept(circuitIds: readonly number[]): Promise<Map<number, StoredNormal>> {
    const { rows } = await this.database.query<Row>(
      `select circuit_id, registered, ${epoch('learn_from')} as learn_from_s, generation, complete, seen, basis, learned,
              like_learned as like
         from circuit_normal where circuit_id = any($1)`,
      [circuitIds],
    );
    return new Map(
      rows.map((row) => {
        const learned = row.learned === null ? null : readLearned(row.learned);
        return [
          row.circuit_id,
          {
            registered: row.registered,
            learnFrom_s: row.learn_from_s,
            generation: row.generation,
            complete: row.complete && learned !== null,
            seen: row.seen,
            basis: learned === null ? null : row.basis,
            learned,
            like: row.like === null ? null : readLike(row.like),
          },
        ] as const;
      }),
    );
  }

  /**
   * Those of the circuits that have a normal of their own and whose unit has nothing wrong: none of these conditions found,
   * more than possibly, and no diagnosis of the machine above `watch`.
   */
  async quiet(circuitIds: readonly number[], conditions: readonly string[]): Promise<ReadonlySet<number>> {
    if (circuitIds.length === 0) return new Set();
    const { rows } = await this.database.query<{ circuit_id: number }>(
      `select n.circuit_id from circuit_normal n join circuit c on c.id = n.circuit_id
        where n.circuit_id = any($1) and n.learned is not null
          and not exists (select from finding f where f.unit_id = c.unit_id and f.ended_at is null
                             and f.certainty <> 'possible' and f.condition = any($2::text[]))
          and not exists (select from diagnosis d where d.unit_id = c.unit_id and d.ended_at is null
                             and d.urgency <> 'watch' and d.subject_key not like 'module/%')`,
      [circuitIds, conditions],
    );
    return new Set(rows.map(({ circuit_id }) => circuit_id));
  }

  /** When circuits were last compared, counted in windows judged, and what the registry said of them. */
  async compared(
    circuitIds: readonly number[],
  ): Promise<Map<number, { windows: number; registered: RegisteredFacts }>> {
    if (circuitIds.length === 0) return new Map();
    const { rows } = await this.database.query<{
      circuit_id: number;
      windows: number;
      registered: RegisteredFacts;
    }>(
      `select circuit_id, compared_windows as windows, registered from circuit_normal where circuit_id = any($1)`,
      [circuitIds],
    );
    return new Map(rows.map(({ circuit_id, windows, registered }) => [circuit_id, { windows, registered }]));
  }

  /** Comparisons of circuits from a day on to its own limit, by circuit, in time order. */
  async comparedSince(
    circuits: readonly { id: number; from_s: number }[],
  ): Promise<Map<number, ComparedPlateau[]>> {
    const { rows } = await this.database.query<{ circuit_id: number; plateaus: Buffer }>(
      `select d.circuit_id, d.plateaus from unnest($1::int[], $2::float8[]) as c(id, from_s)
         join departure_day d on d.circuit_id = c.id and d.day >= to_timestamp(c.from_s)
        where d.day >= to_timestamp($3) order by d.circuit_id, d.day`,
      [
        circuits.map(({ id }) => id),
        circuits.map(({ from_s }) => dayOf(from_s)),
        dayOf(Math.min(...circuits.map(({ from_s }) => from_s))),
      ],
    );
    const found = new Map<number, ComparedPlateau[]>(circuits.map(({ id }) => [id, []]));
    for (const { circuit_id, plateaus } of rows) found.get(circuit_id)!.push(...unpackComparisons(plateaus));
    return found;
  }

  /** When findings of these conditions said that something was wrong with circuits, more than possibly, by their sources. */
  async unsoundSpans(
    sources: readonly string[],
    conditions: readonly string[],
  ): Promise<Map<string, UnsoundSpan[]>> {
    const { rows } = await this.database.query<{ source: string; from_s: number; to_s: number }>(
      `select f.source, least((f.document->>'firstSeen_s')::float8, first.seen_s) as from_s,
              case when f.ended_at is null then 'infinity' else (f.document->>'lastSeen_s')::float8 end as to_s
         from finding f left join lateral (
           select min((c.document->>'firstSeen_s')::float8) as seen_s from finding_change c where c.finding_id = f.id) first on true
        where f.source = any($1::text[]) and f.condition = any($2::text[]) and f.certainty <> 'possible'
          and (f.ended_at is null or not f.provisional) order by f.id`,
      [sources, conditions],
    );
    const found = new Map<string, UnsoundSpan[]>();
    for (const { source, from_s, to_s } of rows)
      found.set(source, [...(found.get(source) ?? []), { from_s, to_s }]);
    return found;
  }

  /** Call before the transaction that keeps comparisons. */
  async makeRoom(kept: readonly KeptComparison[]): Promise<void> {
    const times_ms = kept.flatMap(({ days }) => days.map(({ day_s }) => day_s * 1000));
    await this.partitions.ensure('departure_day', weeksOf(times_ms));
  }

  /** A write failed for want of a partition: look again. */
  forgetRooms(): void {
    this.partitions.forget();
  }

  async keep(client: Queryable, kept: readonly KeptComparison[]): Promise<void> {
    if (kept.length === 0) return;
    await keepNormals(client, kept);
    await keepDays(client, kept);
    await keepStarts(client, kept);
    await client.query(
      `with kept as (
         select k.id, k.windows, k.advice::jsonb as advice
           from unnest($1::int[], $2::int[], $3::text[]) as k(id, windows, advice)),
       due as (
         insert into attention_due (unit_id)
         select distinct c.unit_id from kept k join circuit c on c.id = k.id
           join circuit_normal n on n.circuit_id = k.id where n.advice <> k.advice)
       update circuit_normal n set compared_windows = k.windows, advice = k.advice
         from kept k where n.circuit_id = k.id`,
      [
        kept.map(({ circuitId }) => circuitId),
        kept.map(({ windows }) => windows),
        kept.map(({ advice }) => JSON.stringify(advice)),
      ],
    );
  }

  /** What is advised on the circuits of some units, by unit and number. */
  async adviceOf(
    unitIds: readonly number[],
    by: Queryable = this.database,
  ): Promise<Map<number, Map<number, CircuitAdvice>>> {
    const { rows } = await by.query<{ unit_id: number; number: number; advice: CircuitAdvice }>(
      `select c.unit_id, c.number, n.advice from circuit c join circuit_normal n on n.circuit_id = c.id
        where c.unit_id = any($1) and n.advice <> '{}'`,
      [unitIds],
    );
    const found = new Map<number, Map<number, CircuitAdvice>>();
    for (const { unit_id, number, advice } of rows)
      found.set(unit_id, (found.get(unit_id) ?? new Map<number, CircuitAdvice>()).set(number, advice));
    return found;
  }

  /** Learning is started anew from a moment on, as after a visit that put something right. */
  async startAnew(
    by: Queryable,
    circuitIds: readonly number[],
    start: Omit<NormalStart, 'circuitId' | 'startedAt'>,
  ): Promise<void> {
    await by.query(
      `update circuit_normal set learn_from = to_timestamp($2), complete = false, seen = 0, basis = null,
              learned_from = null, learned_until = null, learned = null, compared_windows = 0, advice = '{}',
              like_units = null, like_departs = false, like_learned = null
        where circuit_id = any($1)`,
      [circuitIds, start.learnFrom_s],
    );
    await writeStarts(
      by,
      circuitIds.map((circuitId) => ({ circuitId, ...start })),
    );
  }

  /** How it stands with the normal of circuits, and when learning was last started anew. */
  async states(
    circuitIds: readonly number[],
  ): Promise<{ normals: Map<number, NormalState>; starts: Map<number, NormalStart> }> {
    const [normals, starts] = await Promise.all([
      this.database.query<NormalState>(
        `select circuit_id as "circuitId", complete, seen, ${epoch('learned_from')} as "learnedFrom_s",
                ${epoch('learned_until')} as "learnedUntil_s", like_units as "likeUnits", like_departs as "likeDeparts"
           from circuit_normal where circuit_id = any($1)`,
        [circuitIds],
      ),
      this.database.query<NormalStart>(
        `select s.circuit_id as "circuitId", s.started_at as "startedAt", ${epoch('s.learn_from')} as "learnFrom_s",
                s.reason, s.detail from unnest($1::int[]) as c(id) cross join lateral (
           select * from normal_start where circuit_id = c.id order by started_at desc limit 1) s`,
        [circuitIds],
      ),
    ]);
    return {
      normals: new Map(normals.rows.map((row) => [row.circuitId, row])),
      starts: new Map(starts.rows.map((row) => [row.circuitId, row])),
    };
  }
}

async function keepNormals(client: Queryable, all: readonly KeptComparison[]): Promise<void> {
  const kept = all.flatMap(({ circuitId, normal }) => (normal === null ? [] : [{ circuitId, normal }]));
  if (kept.length === 0) return;
  await client.query(
    `insert into circuit_normal (circuit_id, registered, learn_from, generation, complete, seen, basis, learned_from,
                                 learned_until, learned, like_units, like_departs, like_learned)
     select n.id, n.registered::jsonb, to_timestamp(n.learn_from), n.generation, n.complete, n.seen, n.basis,
            to_timestamp(n.learned_from), to_timestamp(n.learned_until), n.learned, n.like_units, n.like_departs, n.like_learned
       from unnest($1::int[], $2::text[], $3::float8[], $4::int[], $5::boolean[], $6::int[], $7::bigint[], $8::float8[],
                   $9::float8[], $10::text[], $11::int[], $12::boolean[], $13::text[])
            as n(id, registered, learn_from, generation, complete, seen, basis, learned_from, learned_until, learned,
                 like_units, like_departs, like_learned)
      order by n.id
     on conflict (circuit_id) do update set registered = excluded.registered, learn_from = excluded.learn_from,
       generation = excluded.generation, complete = excluded.complete, seen = excluded.seen, basis = excluded.basis,
       learned_from = excluded.learned_from, learned_until = excluded.learned_until, learned = excluded.learned,
       like_units = excluded.like_units, like_departs = excluded.like_departs, like_learned = excluded.like_learned`,
    [
      kept.map(({ circuitId }) => circuitId),
      kept.map(({ normal }) => JSON.stringify(normal.registered)),
      kept.map(({ normal }) => normal.learnFrom_s),
      kept.map(({ normal }) => normal.generation),
      kept.map(({ normal }) => normal.complete),
      kept.map(({ normal }) => normal.seen),
      kept.map(({ normal }) => normal.basis),
      kept.map(({ normal }) => normal.learned?.normal.from_s ?? null),
      kept.map(({ normal }) => normal.learned?.normal.to_s ?? null),
      kept.map(({ normal }) => (normal.learned === null ? null : writeLearned(normal.learned))),
      kept.map(({ normal }) => (normal.learned === null ? (normal.like?.normal.likeUnits ?? null) : null)),
      kept.map(({ normal }) => normal.learned === null && normal.like?.departs === true),
      kept.map(({ normal }) => (normal.like === null ? null : writeLike(normal.like))),
    ],
  );
}

async function keepDays(client: Queryable, kept: readonly KeptComparison[]): Promise<void> {
  const days = kept.flatMap(({ circuitId, days: own }) => own.map((day) => ({ circuitId, ...day })));
  if (days.length === 0) return;
  await client.query(
    `insert into departure_day (circuit_id, day, plateaus)
     select d.id, to_timestamp(d.day_s), d.plateaus from unnest($1::int[], $2::float8[], $3::bytea[]) as d(id, day_s, plateaus)
      order by d.id, d.day_s
     on conflict (circuit_id, day) do update set plateaus = excluded.plateaus`,
    [
      days.map(({ circuitId }) => circuitId),
      days.map(({ day_s }) => day_s),
      days.map(({ compared }) => packComparisons(compared)),
    ],
  );
}

const keepStarts = (client: Queryable, kept: readonly KeptComparison[]): Promise<void> =>
  writeStarts(
    client,
    kept.flatMap(({ circuitId, startedAnew }) =>
      startedAnew === null ? [] : [{ circuitId, ...startedAnew }],
    ),
  );

async function writeStarts(
  client: Queryable,
  starts: readonly Omit<NormalStart, 'startedAt'>[],
): Promise<void> {
  if (starts.length === 0) return;
  await client.query(
    `insert into normal_start (circuit_id, learn_from, reason, detail)
     select s.id, to_timestamp(s.learn_from), s.reason, s.detail
       from unnest($1::int[], $2::float8[], $3::text[], $4::text[]) as s(id, learn_from, reason, detail)
     on conflict do nothing`,
    [
      starts.map(({ circuitId }) => circuitId),
      starts.map(({ learnFrom_s }) => learnFrom_s),
      starts.map(({ reason }) => reason),
      starts.map(({ detail }) => detail),
    ],
  );
}
