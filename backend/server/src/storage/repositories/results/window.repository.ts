import {
  daySummary,
  packPlateaus,
  packWindows,
  summarise,
  unpackPlateaus,
  unpackWindows,
} from '@coldrounds/core';
import type {
  CircuitAssessment,
  KeptWindow,
  SeriesHabits,
  WindowJudgement,
  WindowPlateaus,
} from '@coldrounds/core';
import type { Queryable } from '../../connection/database.js';
import { writeDailyFigures } from './daily-figures.repository.js';
import { inPlaces, rollupColumns, type Rollup } from '../../schema/rollups.js';

export interface WindowResultRow {
  start_s: number;
  judgedAt: Date;
  detail: WindowJudgement;
}

/** One day of a circuit: its judged windows in time order, and the plateaus in them. */
export interface CircuitDay {
  circuitId: number;
  day_s: number;
  windows: KeptWindow[];
  plateaus: WindowPlateaus[];
}

/** What was judged of a circuit. */
export interface JudgedWindows {
  windows: readonly KeptWindow[];
  plateaus: readonly WindowPlateaus[];
}

export interface CircuitClaims {
  circuitId: number;
  assessment: Omit<CircuitAssessment, 'findings'>;
  dataUntil_s: number;
}

export const day_s = 86_400;
export const dayOf = (time_s: number): number => Math.floor(time_s / day_s) * day_s;

/** An array as PostgreSQL's text; figures keep the 7 digits that `real` has. */
const literal = (places: readonly (number | null)[] | null): string | null =>
  places && `{${places.map((value) => (value === null ? 'NULL' : Number(value.toPrecision(8)))).join(',')}}`;

const rowOf = ({ start_s, judgedAt_s, judgement }: KeptWindow): WindowResultRow => ({
  start_s,
  judgedAt: new Date(judgedAt_s * 1000),
  detail: judgement,
});

/** Judged windows by days, their rollups, and what follows from them for a circuit. */
export class WindowRepository {
  constructor(private readonly database: Queryable) {}

  /** Windows of circuits from a day on to its own limit, by circuit, in time order. */
  async since(circuits: readonly { id: number; from_s: number }[]): Promise<Map<number, KeptWindow[]>> {
    const { rows } = await this.database.query<{ circuit_id: number; windows: Buffer }>(
      `select d.circuit_id, d.windows from unnest($1::int[], $2::float8[]) as c(id, from_s)
         join circuit_day d on d.circuit_id = c.id and d.day >= to_timestamp(c.from_s)
        where d.day >= to_timestamp($3) order by d.circuit_id, d.day`,
      [
        circuits.map(({ id }) => id),
        circuits.map(({ from_s }) => dayOf(from_s)),
        // Said apart, so that the parts before it are not looked into.
        dayOf(Math.min(...circuits.map(({ from_s }) => from_s))),
      ],
    );
    const found = new Map<number, KeptWindow[]>(circuits.map(({ id }) => [id, []]));
    for (const { circuit_id, windows } of rows) found.get(circuit_id)!.push(...unpackWindows(windows));
    return found;
  }

  /** Plateaus of circuits from a day on to its own limit, by circuit, in time order. */
  async plateausSince(
    circuits: readonly { id: number; from_s: number }[],
  ): Promise<Map<number, WindowPlateaus[]>> {
    const { rows } = await this.database.query<{ circuit_id: number; plateaus: Buffer }>(
      `select d.circuit_id, d.plateaus from unnest($1::int[], $2::float8[]) as c(id, from_s)
         join circuit_day d on d.circuit_id = c.id and d.day >= to_timestamp(c.from_s)
        where d.day >= to_timestamp($3) and d.plateaus is not null order by d.circuit_id, d.day`,
      [
        circuits.map(({ id }) => id),
        circuits.map(({ from_s }) => dayOf(from_s)),
        // Said apart, so that the parts before it are not looked into.
        dayOf(Math.min(...circuits.map(({ from_s }) => from_s))),
      ],
    );
    const found = new Map<number, WindowPlateaus[]>(circuits.map(({ id }) => [id, []]));
    for (const { circuit_id, plateaus } of rows) found.get(circuit_id)!.push(...unpackPlateaus(plateaus));
    return found;
  }

  /** Plateaus of the circuit's windows that start in the span, in time order. */
  async plateausBetween(circuitId: number, from_s: number, to_s: number): Promise<WindowPlateaus[]> {
    const { rows } = await this.database.query<{ plateaus: Buffer }>(
      `select plateaus from circuit_day
        where circuit_id = $1 and day >= to_timestamp($2) and day < to_timestamp($3) and plateaus is not null order by day`,
      [circuitId, dayOf(from_s), to_s],
    );
    return rows
      .flatMap((row) => unpackPlateaus(row.plateaus))
      .filter(({ start_s }) => start_s >= from_s && start_s < to_s);
  }

  /**
   * Puts judged windows into their days, in the place of what was judged there before. Call it in a transaction. Gives
   * how many were new, by circuit.
   */
  async keep(client: Queryable, judged: ReadonlyMap<number, JudgedWindows>): Promise<Map<number, number>> {
    const fresh = new Map<number, number>();
    const wanted = [...judged].flatMap(([circuitId, { windows }]) =>
      [...new Set(windows.map(({ start_s }) => dayOf(start_s)))].map((day) => ({ circuitId, day })),
    );
    if (wanted.length === 0) return fresh;
    const { rows } = await client.query<{
      circuit_id: number;
      day_s: number;
      windows: Buffer;
      plateaus: Buffer | null;
    }>(
      `select d.circuit_id, extract(epoch from d.day)::float8 as day_s, d.windows, d.plateaus
         from unnest($1::int[], $2::float8[]) as w(circuit_id, day_s)
         join circuit_day d on d.circuit_id = w.circuit_id and d.day = to_timestamp(w.day_s)`,
      [wanted.map(({ circuitId }) => circuitId), wanted.map(({ day }) => day)],
    );
    const before = new Map(rows.map((row) => [`${row.circuit_id}/${row.day_s}`, row]));
    await writeDays(
      client,
      wanted.map(({ circuitId, day }) => {
        const kept = before.get(`${circuitId}/${day}`);
        const known = kept === undefined ? [] : unpackWindows(kept.windows);
        const news = judged.get(circuitId)!;
        const were = new Set(known.map(({ start_s }) => start_s));
        const added = news.windows.filter(({ start_s }) => dayOf(start_s) === day && !were.has(start_s));
        fresh.set(circuitId, (fresh.get(circuitId) ?? 0) + added.length);
        return {
          circuitId,
          day_s: day,
          windows: withNews(known, news.windows, day),
          plateaus: withNews(kept?.plateaus ? unpackPlateaus(kept.plateaus) : [], news.plateaus, day),
        };
      }),
    );
    return fresh;
  }

  async writeRollups(
    client: Queryable,
    rollups: readonly { circuitId: number; rollup: Rollup }[],
  ): Promise<void> {
    const filled = rollups.filter(({ rollup }) => rollup.time_s.length > 0);
    if (filled.length === 0) return;
    // Arrays of arrays would have to be of one length: each row is an array of its own, as text.
    const names = ['samples', ...rollupColumns];
    const types = names.map((name) => (name === 'samples' ? 'smallint[]' : 'real[]'));
    await client.query(
      `insert into rollup_window (circuit_id, window_start, ${names.join(', ')})
       select r.circuit_id, to_timestamp(r.window_s), ${names.map((name, i) => `r.${name}::${types[i]}`).join(', ')}
         from unnest($1::int[], $2::float8[], ${names.map((_, i) => `$${i + 3}::text[]`).join(', ')})
              as r(circuit_id, window_s, ${names.join(', ')})
        order by r.circuit_id, r.window_s
       on conflict (circuit_id, window_start) do update set ${names.map((name) => `${name} = excluded.${name}`).join(', ')}`,
      [
        filled.map(({ circuitId }) => circuitId),
        filled.map(({ rollup }) => rollup.window_s),
        ...[
          (rollup: Rollup) => rollup.samples,
          ...rollupColumns.map((name) => (rollup: Rollup) => rollup.columns[name]),
        ].map((of) => filled.map(({ rollup }) => literal(inPlaces(rollup, of(rollup))))),
      ],
    );
  }

  /** Judgements of the windows that start in the span, in time order. */
  async judgements(circuitId: number, from_s: number, to_s: number): Promise<WindowResultRow[]> {
    const { rows } = await this.database.query<{ windows: Buffer }>(
      `select windows from circuit_day
        where circuit_id = $1 and day >= to_timestamp($2) and day < to_timestamp($3) order by day`,
      [circuitId, dayOf(from_s), to_s],
    );
    return rows
      .flatMap((row) => unpackWindows(row.windows))
      .filter(({ start_s }) => start_s >= from_s && start_s < to_s)
      .map(rowOf);
  }

  /** What is remembered of how the signals of circuits are sent; those of which nothing is are left out. */
  async learnedHabits(circuitIds: readonly number[]): Promise<Map<number, SeriesHabits>> {
    const { rows } = await this.database.query<{ id: number; habits: SeriesHabits }>(
      `select circuit_id as id, habits from circuit_state where circuit_id = any($1::int[]) and habits is not null`,
      [circuitIds],
    );
    return new Map(rows.map(({ id, habits }) => [id, habits]));
  }

  /** The newest judged window of each circuit. */
  async newest(circuitIds: number[]): Promise<Map<number, WindowJudgement>> {
    const { rows } = await this.database.query<{ id: number; windows: Buffer }>(
      `select c.id, d.windows from unnest($1::int[]) as c(id) cross join lateral (
         select windows from circuit_day where circuit_id = c.id order by day desc limit 1) d`,
      [circuitIds],
    );
    return new Map(
      rows.flatMap((row) => {
        const newest = unpackWindows(row.windows).at(-1);
        return newest === undefined ? [] : [[row.id, newest.judgement] as const];
      }),
    );
  }

  async writeAssessments(client: Queryable, claims: readonly CircuitClaims[]): Promise<void> {
    if (claims.length === 0) return;
    await client.query(
      `insert into circuit_result (circuit_id, judged_at, data_until, travel_strokes_per_day, reversals_per_day, headroom_k, detail)
       select c.id, now(), to_timestamp(c.until_s), c.travel, c.reversals, c.headroom, c.detail::jsonb
         from unnest($1::int[], $2::float8[], $3::real[], $4::real[], $5::text[], $6::real[])
              as c(id, until_s, travel, reversals, detail, headroom)
        order by c.id
       on conflict (circuit_id) do update set judged_at = now(), data_until = excluded.data_until,
         travel_strokes_per_day = excluded.travel_strokes_per_day, reversals_per_day = excluded.reversals_per_day,
         headroom_k = excluded.headroom_k, detail = excluded.detail`,
      [
        claims.map(({ circuitId }) => circuitId),
        claims.map(({ dataUntil_s }) => dataUntil_s),
        claims.map(({ assessment }) => assessment.wear?.travel_strokes_per_day ?? null),
        claims.map(({ assessment }) => assessment.wear?.reversals_per_day ?? null),
        claims.map(({ assessment }) => JSON.stringify(assessment)),
        claims.map(({ assessment }) => assessment.headroom?.headroom_K ?? null),
      ],
    );
  }

  async assessments(
    circuitIds: number[],
  ): Promise<Map<number, { judgedAt: Date; detail: Omit<CircuitAssessment, 'findings'> }>> {
    const { rows } = await this.database.query<{
      circuit_id: number;
      judged_at: Date;
      detail: Omit<CircuitAssessment, 'findings'>;
    }>('select circuit_id, judged_at, detail from circuit_result where circuit_id = any($1)', [circuitIds]);
    return new Map(rows.map((row) => [row.circuit_id, { judgedAt: row.judged_at, detail: row.detail }]));
  }

  /** What every circuit's valve does a day, for comparison. */
  async fleetWear(): Promise<{ circuitId: number; travel: number; reversals: number }[]> {
    const { rows } = await this.database.query<{ circuitId: number; travel: number; reversals: number }>(
      `select circuit_id as "circuitId", travel_strokes_per_day as travel, reversals_per_day as reversals
         from circuit_result where travel_strokes_per_day is not null and reversals_per_day is not null`,
    );
    return rows;
  }
}

/** What is known of a day, the news of that day in its place, in time order. */
function withNews<Window extends { start_s: number }>(
  known: readonly Window[],
  news: readonly Window[],
  day: number,
): Window[] {
  const windows = new Map(known.map((window) => [window.start_s, window]));
  for (const window of news) if (dayOf(window.start_s) === day) windows.set(window.start_s, window);
  return [...windows.values()].sort((a, b) => a.start_s - b.start_s);
}

async function writeDays(client: Queryable, days: readonly CircuitDay[]): Promise<void> {
  const rows = days.map(({ circuitId, day_s, windows, plateaus }) => {
    const judgements = windows.map(({ judgement }) => judgement);
    const summary = summarise(judgements)!;
    const { judgedMinutes, huntingMinutes } = daySummary(judgements);
    return {
      circuit_id: circuitId,
      day_s,
      windows: packWindows(windows),
      plateaus: packPlateaus(plateaus),
      window_count: windows.length,
      steady_minutes: summary.steadyMinutes,
      superheat_mean_k: summary.mean_K,
      superheat_spread_k: summary.spread_K,
      floodback_share: summary.underLimitFraction,
      starved_share: summary.starvedFraction,
      judged_minutes: judgedMinutes,
      hunting_minutes: huntingMinutes,
      valve_minutes: summary.observedMinutes,
      valve_travel_strokes: summary.travel_strokes,
      valve_reversals: summary.reversals,
    };
  });
  const types = {
    circuit_id: 'int',
    day_s: 'float8',
    windows: 'bytea',
    plateaus: 'bytea',
    window_count: 'smallint',
    steady_minutes: 'real',
    superheat_mean_k: 'real',
    superheat_spread_k: 'real',
    floodback_share: 'real',
    starved_share: 'real',
    judged_minutes: 'real',
    hunting_minutes: 'real',
    valve_minutes: 'real',
    valve_travel_strokes: 'real',
    valve_reversals: 'int',
  } as const;
  const names = Object.keys(types) as (keyof typeof types)[];
  const values = names.slice(2);
  await client.query(
    `insert into circuit_day (circuit_id, day, judged_at, ${values.join(', ')})
     select d.circuit_id, to_timestamp(d.day_s), now(), ${values.map((name) => `d.${name}`).join(', ')}
       from unnest(${names.map((name, index) => `$${index + 1}::${types[name]}[]`).join(', ')}) as d(${names.join(', ')})
      order by d.circuit_id, d.day_s
     on conflict (circuit_id, day) do update set judged_at = now(), ${values.map((name) => `${name} = excluded.${name}`).join(', ')}`,
    names.map((name) => rows.map((row) => row[name])),
  );
  await writeDailyFigures(
    client,
    days.map(({ circuitId, day_s, windows }) => ({
      circuitId,
      day_s,
      summary: daySummary(windows.map(({ judgement }) => judgement)),
    })),
  );
}
