import { blockDays, blockOf, dayColumns, type DayColumn } from '@coldrounds/core';
import type {
  DailyFiguresRepository,
  FigureBlock,
} from '../../storage/repositories/results/daily-figures.repository.js';
import { FigureMemory } from './figure-memory.js';

/** Daily figures by four weeks, in pieces, of these circuits or of more. */
export type FigurePieces = Pick<DailyFiguresRepository, 'pieces'>;

/** Columns that are read ahead first, where not all have room: those of the ready questions. */
const askedMost: readonly DayColumn[] = [
  ...(['runningMinutes', 'steadyMinutes', 'superheatMean_K', 'judgedMinutes', 'huntingMinutes'] as const),
  ...(['valveMinutes', 'valveReversals', 'valveTravel_strokes', 'compressorLoad_pct'] as const),
  ...(['ambientTemperature_K', 'setpointOffset_K', 'superheatSpread_K', 'floodbackFraction'] as const),
];
const byUse = [...askedMost, ...dayColumns.filter((name) => !askedMost.includes(name))];

const day_s = 86_400;

type Columns = Map<DayColumn, Float32Array>;
const none = new Float32Array(0);
const noDays = (columns: readonly DayColumn[]) => Object.fromEntries(columns.map((name) => [name, none]));

/**
 * Daily figures in the memory of the process, as far as there is room, so that a question reads from the database only what was
 * written since: each four weeks carry the snapshot of the database that they were read at, and each row there the
 * transaction that wrote it. So an answer is that of the moment of asking, whatever is kept.
 */
export class KeptFigures implements FigurePieces {
  private readonly memory: FigureMemory;
  /** What is done to each four weeks, one after the other. */
  private readonly turns = new Map<number, Promise<unknown>>();

  /** @param most_bytes that are kept; 17 columns of a year of 20,000 circuits take 530 MB */
  constructor(
    private readonly repository: DailyFiguresRepository,
    most_bytes: number,
    now_s: () => number = () => Date.now() / 1000,
  ) {
    this.memory = new FigureMemory(most_bytes, now_s);
  }

  async *pieces(
    from_s: number,
    columns: readonly DayColumn[],
    circuitIds: readonly number[] | null,
  ): AsyncGenerator<FigureBlock> {
    // Of some circuits the database reads their rows alone.
    if (circuitIds !== null && !this.memory.has(from_s, columns))
      yield* this.repository.pieces(from_s, columns, circuitIds);
    else yield await this.inTurn(from_s, () => this.upToDate(from_s, columns));
  }

  /**
   * Reads the last days before they are asked for, newest first: as many columns of all of them as there is room for.
   *
   * @param rest is waited for after each four weeks, with the time that these took; false: read no further
   */
  async readAhead(days: number, now_s: number, rest: (took_ms: number) => Promise<boolean>): Promise<void> {
    const blocks: number[] = [];
    for (
      let from_s = blockOf(now_s);
      from_s > now_s - (days + blockDays) * day_s;
      from_s -= blockDays * day_s
    )
      blocks.push(from_s);
    for (const from_s of blocks) {
      const began_ms = performance.now();
      const columns = byUse.slice(0, this.memory.columnsOf(blocks.length));
      if (columns.length > 0) await this.inTurn(from_s, () => this.upToDate(from_s, columns));
      if (!(await rest(performance.now() - began_ms))) return;
    }
  }

  private inTurn<Result>(from_s: number, work: () => Promise<Result>): Promise<Result> {
    const turn = (this.turns.get(from_s) ?? Promise.resolve()).then(work);
    // One that fails keeps nobody from their turn.
    const ended = turn
      .catch(() => {})
      .finally(() => {
        if (this.turns.get(from_s) === ended) this.turns.delete(from_s);
      });
    this.turns.set(from_s, ended);
    return turn;
  }

  private async upToDate(from_s: number, columns: readonly DayColumn[]): Promise<FigureBlock> {
    const { memory, repository } = this;
    // Taken before anything is read: what is written between the two is read again the next time.
    const { snapshot, there } = await repository.stateOf(from_s);
    if (!there) {
      memory.forget(from_s);
      return { from_s, days: blockDays, circuitIds: new Int32Array(0), columns: noDays(columns) };
    }
    // All at first, so that no column grows circuit by circuit.
    if (memory.circuitIds.length === 0) for (const id of await repository.circuitIds()) memory.rowOf(id);
    const block = memory.block(from_s) ?? { from_s, snapshot, columns: new Map() };
    const all: Columns = new Map([...block.columns].map(([name, { values }]) => [name, values]));
    const missing = columns.filter((name) => !all.has(name));
    if (all.size > 0)
      for await (const { circuitId, figures } of repository.writtenSince(from_s, block.snapshot))
        this.putRow(all, circuitId, figures);
    if (missing.length > 0)
      for await (const piece of repository.pieces(from_s, missing, null)) this.put(all, missing, piece);
    for (const name of new Set([...all.keys(), ...missing]))
      all.set(name, memory.roomy(all.get(name) ?? none));
    block.snapshot = snapshot;
    memory.keep(block, all, columns);
    return {
      ...{ from_s, days: blockDays, circuitIds: memory.circuitIds },
      columns: Object.fromEntries(columns.map((name) => [name, all.get(name)!])),
    };
  }

  private put(all: Columns, names: readonly DayColumn[], { circuitIds, columns }: FigureBlock): void {
    const rows = circuitIds.map((id) => this.memory.rowOf(id));
    const runs = runsOf(rows);
    for (const name of names) {
      const values = this.memory.roomy(all.get(name) ?? none);
      all.set(name, values);
      for (const [from, to] of runs)
        values.set(columns[name]!.subarray(blockDays * from, blockDays * to), blockDays * rows[from]!);
    }
  }

  private putRow(all: Columns, circuitId: number, figures: Float32Array): void {
    const row = this.memory.rowOf(circuitId);
    for (const [name, before] of all) {
      const values = this.memory.roomy(before);
      if (values !== before) all.set(name, values);
      const from = blockDays * dayColumns.indexOf(name);
      // Of a row that was written before a column came nothing is known there.
      values.set(figures.subarray(from, from + blockDays), blockDays * row);
    }
  }
}

/** Stretches, from one place up to another, in which each row is the one after the row before: mostly all of them. */
function runsOf(rows: Int32Array): [from: number, to: number][] {
  const runs: [number, number][] = [];
  for (let at = 0; at < rows.length; at++)
    if (at > 0 && rows[at] === rows[at - 1]! + 1) runs.at(-1)![1] = at + 1;
    else runs.push([at, at + 1]);
  return runs;
}
