import {
  blockDays,
  blockOf,
  daySummary,
  packedColumn,
  packDays,
  unpackWindows,
  type DayBlock,
  type DayColumn,
  type DaySummary,
} from '@coldrounds/core';
import { to as copyTo } from 'pg-copy-streams';
import { copiedRows } from '../../connection/copied-rows.js';
import type { Database, Queryable } from '../../connection/database.js';
import { PartitionKeeper, weeksOf } from '../../schema/time-series.js';

export interface CircuitDayFigures {
  circuitId: number;
  /** 0 h UTC. */
  day_s: number;
  summary: DaySummary;
}

/** Four weeks of some circuits, in no order; a column may be longer than they are. */
export interface FigureBlock extends DayBlock {
  from_s: number;
  circuitIds: Int32Array;
}

const circuitsAtOnce = 50;

/**
 * Circuits whose figures the database puts together at a time. A value of megabytes is grown in memory that the database
 * takes from the system anew each time: over 20,000 circuits eight columns took 300 ms in one piece, 33 ms in pieces of 500.
 */
const circuitsInPiece = 500;

/** Puts days into their rows of four weeks. Call it in a transaction that holds the circuits. */
export async function writeDailyFigures(
  client: Queryable,
  days: readonly CircuitDayFigures[],
): Promise<void> {
  if (days.length === 0) return;
  const blocks = new Map<string, { circuitId: number; from_s: number; days: CircuitDayFigures[] }>();
  for (const day of days) {
    const from_s = blockOf(day.day_s);
    const key = `${day.circuitId}/${from_s}`;
    const known = blocks.get(key);
    if (known === undefined) blocks.set(key, { circuitId: day.circuitId, from_s, days: [day] });
    else known.days.push(day);
  }
  const wanted = [...blocks.values()];
  const keys = [wanted.map(({ circuitId }) => circuitId), wanted.map(({ from_s }) => from_s)];
  const { rows } = await client.query<{ key: string; figures: Buffer }>(
    `select w.circuit_id || '/' || w.from_s as key, f.figures
       from unnest($1::int[], $2::bigint[]) as w(circuit_id, from_s)
       join daily_figures f on f.circuit_id = w.circuit_id and f.from_day = to_timestamp(w.from_s)`,
    keys,
  );
  const before = new Map(rows.map(({ key, figures }) => [key, figures]));
  await client.query(
    `insert into daily_figures (circuit_id, from_day, figures, written)
     select w.circuit_id, to_timestamp(w.from_s), w.figures, pg_current_xact_id()
       from unnest($1::int[], $2::bigint[], $3::bytea[]) as w(circuit_id, from_s, figures)
      order by w.circuit_id, w.from_s
     on conflict (circuit_id, from_day) do update set figures = excluded.figures, written = excluded.written`,
    [
      ...keys,
      [...blocks].map(([key, block]) =>
        packDays(
          before.get(key) ?? null,
          block.days.map(({ day_s, summary }) => ({ place: (day_s - block.from_s) / 86_400, summary })),
        ),
      ),
    ],
  );
}

/** Daily figures of all circuits, by four weeks. */
export class DailyFiguresRepository {
  constructor(private readonly database: Database) {}

  /**
   * Columns of the four weeks that begin at a moment, of these circuits or of all: put together by the database for some
   * hundred circuits at a time, as a row for each circuit would take far longer to bring over. The numbers of a piece lie in
   * memory that the next one takes.
   */
  async *pieces(
    from_s: number,
    columns: readonly DayColumn[],
    circuitIds: readonly number[] | null,
  ): AsyncGenerator<FigureBlock> {
    const parts = columns.map((name) => {
      const { offset, length } = packedColumn(name);
      return `string_agg(substring(figures from ${offset + 1} for ${length}), ''::bytea)`;
    });
    const only =
      circuitIds === null ? '' : ` and circuit_id = any('{${circuitIds.map(whole).join(',')}}'::int[])`;
    const query = `select piece.*
         from generate_series((select min(id) from circuit), (select max(id) from circuit), ${circuitsInPiece}) as lowest,
              lateral (select ${["string_agg(int4send(circuit_id), ''::bytea)", ...parts].join(', ')}
                         from daily_figures
                        where from_day = to_timestamp(${whole(from_s)})
                          and circuit_id >= lowest and circuit_id < lowest + ${circuitsInPiece}${only}) as piece`;
    const numbers = columns.map(() => new Float32Array(circuitsInPiece * blockDays));
    for await (const [ids, ...figures] of this.copied(query, 1 + columns.length))
      if (ids!.length > 0) yield pieceOf(from_s, columns, numbers, ids!, figures);
  }

  /** What the database shows at this moment (PostgreSQL: pg_snapshot), and whether there are four weeks from a moment on. */
  async stateOf(from_s: number): Promise<{ snapshot: string; there: boolean }> {
    const { rows } = await this.database.query<{ snapshot: string; there: boolean }>(
      `select pg_current_snapshot()::text as snapshot,
              exists (select from daily_figures where from_day = to_timestamp($1)) as there`,
      [from_s],
    );
    return rows[0]!;
  }

  /** Rows of four weeks that were written since a snapshot, whole. The numbers lie in memory of their own. */
  async *writtenSince(
    from_s: number,
    snapshot: string,
  ): AsyncGenerator<{ circuitId: number; figures: Float32Array }> {
    if (!/^\d+:\d+:[\d,]*$/.test(snapshot)) throw new TypeError(`${snapshot} is not a snapshot`);
    const query = `select int4send(circuit_id), figures from daily_figures
        where from_day = to_timestamp(${whole(from_s)}) and written >= pg_snapshot_xmin('${snapshot}')
          and not pg_visible_in_snapshot(written, '${snapshot}')`;
    for await (const [id, figures] of this.copied(query, 2))
      yield {
        circuitId: new DataView(id!.buffer, id!.byteOffset).getInt32(0),
        figures: new Float32Array(figures!.slice().buffer),
      };
  }

  private async *copied(query: string, fields: number): AsyncGenerator<Uint8Array[]> {
    const client = await this.database.pool.connect();
    let ended = false;
    try {
      yield* copiedRows(client.query(copyTo(`copy (${query}) to stdout (format binary)`)), fields);
      ended = true;
    } finally {
      // In the middle of an answer a connection is of no more use.
      client.release(!ended);
    }
  }

  async circuitIds(): Promise<number[]> {
    const { rows } = await this.database.query<{ id: number }>('select id from circuit order by id');
    return rows.map(({ id }) => id);
  }

  /** Works out the figures of the days that were judged before there were any. Gives the number of days. */
  async fill(told: (circuits: number, of: number) => void = () => {}): Promise<number> {
    const circuitIds = await this.circuitIds();
    const partitions = new PartitionKeeper(this.database.pool);
    let days = 0;
    for (let at = 0; at < circuitIds.length; at += circuitsAtOnce) {
      const ids = circuitIds.slice(at, at + circuitsAtOnce);
      days += await this.fillSome(ids, partitions);
      told(Math.min(circuitIds.length, at + circuitsAtOnce), circuitIds.length);
    }
    return days;
  }

  private async fillSome(ids: readonly number[], partitions: PartitionKeeper): Promise<number> {
    const { rows: spans } = await this.database.query<{ day_s: number }>(
      'select distinct extract(epoch from day)::float8 as day_s from circuit_day where circuit_id = any($1)',
      [ids],
    );
    await partitions.ensure('daily_figures', weeksOf(spans.map(({ day_s }) => day_s * 1000)));
    return this.database.transaction(async (client) => {
      // An assessor that keeps windows of these circuits waits, so that neither overwrites the other's days.
      await client.query(
        'select from circuit_state where circuit_id = any($1) order by circuit_id for update',
        [ids],
      );
      const { rows } = await client.query<{ circuit_id: number; day_s: number; windows: Buffer }>(
        `select circuit_id, extract(epoch from day)::float8 as day_s, windows from circuit_day
          where circuit_id = any($1) and day = any($2::timestamptz[])`,
        [ids, spans.map(({ day_s }) => new Date(day_s * 1000))],
      );
      await writeDailyFigures(
        client,
        rows.map(({ circuit_id, day_s, windows }) => ({
          circuitId: circuit_id,
          day_s,
          summary: daySummary(unpackWindows(windows).map(({ judgement }) => judgement)),
        })),
      );
      return rows.length;
    });
  }
}

/** A number that goes into a statement as it is: COPY takes no parameters. */
function whole(value: number): number {
  if (!Number.isSafeInteger(value)) throw new TypeError(`${value} is not a whole number`);
  return value;
}

/** Numbers as the processor has them, moved to where a number may begin. */
function pieceOf(
  from_s: number,
  columns: readonly DayColumn[],
  numbers: readonly Float32Array<ArrayBuffer>[],
  ids: Uint8Array,
  figures: readonly Uint8Array[],
): FigureBlock {
  const circuits = new DataView(ids.buffer, ids.byteOffset);
  return {
    from_s,
    days: blockDays,
    circuitIds: Int32Array.from({ length: ids.length / 4 }, (_, place) => circuits.getInt32(4 * place)),
    columns: Object.fromEntries(
      columns.map((name, index) => {
        new Uint8Array(numbers[index]!.buffer).set(figures[index]!);
        return [name, numbers[index]!];
      }),
    ),
  };
}
