import { blockDays, type DayColumn } from '@coldrounds/core';

/** What was used within this time makes no room for what is read now: the figures of one year would push out each other. */
const used_s = 600;

interface KeptColumn {
  /** 28 days of each circuit, as they are numbered here; NaN: not known. */
  values: Float32Array;
  usedAt_s: number;
}

/** Four weeks of all circuits: as they were at a snapshot of the database, or newer. */
export interface KeptBlock {
  from_s: number;
  snapshot: string;
  columns: Map<DayColumn, KeptColumn>;
}

/** Columns of daily figures, up to a number of bytes, with one numbering of the circuits for all of them. */
export class FigureMemory {
  private readonly rows = new Map<number, number>();
  private ids = new Int32Array(1024);
  private numbered = this.ids.subarray(0, 0);
  private readonly blocks = new Map<number, KeptBlock>();
  private bytes = 0;

  constructor(
    private readonly most_bytes: number,
    private readonly now_s: () => number,
  ) {}

  /** Circuits that are numbered, in the order of their numbers; the same object as long as there are no more. */
  get circuitIds(): Int32Array {
    if (this.numbered.length !== this.rows.size) this.numbered = this.ids.subarray(0, this.rows.size);
    return this.numbered;
  }

  /** The number of a circuit. */
  rowOf(circuitId: number): number {
    const known = this.rows.get(circuitId);
    if (known !== undefined) return known;
    const row = this.rows.size;
    if (row === this.ids.length) {
      const more = new Int32Array(2 * row);
      more.set(this.ids);
      this.ids = more;
    }
    this.ids[row] = circuitId;
    this.rows.set(circuitId, row);
    return row;
  }

  /** A column with room for all circuits that are numbered. */
  roomy(values: Float32Array): Float32Array {
    const wanted = blockDays * this.rows.size;
    if (values.length >= wanted) return values;
    // Some more, as circuits come one after the other.
    const more = new Float32Array(Math.ceil(1.05 * wanted)).fill(NaN);
    more.set(values);
    return more;
  }

  block(from_s: number): KeptBlock | undefined {
    return this.blocks.get(from_s);
  }

  has(from_s: number, columns: readonly DayColumn[]): boolean {
    const block = this.blocks.get(from_s);
    return block !== undefined && columns.every((name) => block.columns.has(name));
  }

  /** How many columns of so many blocks there is room for. */
  columnsOf(blocks: number): number {
    return Math.floor(this.most_bytes / (4 * blockDays * Math.max(1, this.rows.size) * blocks));
  }

  /**
   * Keeps a block as it is now, as far as there is room.
   *
   * @param used columns that were asked for
   */
  keep(block: KeptBlock, columns: ReadonlyMap<DayColumn, Float32Array>, used: readonly DayColumn[]): void {
    this.blocks.set(block.from_s, block);
    for (const [name, values] of columns) {
      const before = block.columns.get(name);
      block.columns.delete(name);
      this.bytes -= before?.values.byteLength ?? 0;
      // A column that has grown may have no room any more.
      if (!this.makeRoom(values.byteLength)) continue;
      this.bytes += values.byteLength;
      const usedAt_s = before === undefined || used.includes(name) ? this.now_s() : before.usedAt_s;
      block.columns.set(name, { values, usedAt_s });
    }
    if (block.columns.size === 0) this.blocks.delete(block.from_s);
  }

  /** Nothing of a block is so any more. */
  forget(from_s: number): void {
    for (const { values } of this.blocks.get(from_s)?.columns.values() ?? []) this.bytes -= values.byteLength;
    this.blocks.delete(from_s);
  }

  private makeRoom(bytes: number): boolean {
    const long = [...this.blocks.values()]
      .flatMap((block) => [...block.columns].map(([name, column]) => ({ block, name, column })))
      .filter(({ column }) => column.usedAt_s < this.now_s() - used_s)
      .sort((a, b) => a.column.usedAt_s - b.column.usedAt_s);
    for (const { block, name, column } of long) {
      if (this.bytes + bytes <= this.most_bytes) break;
      block.columns.delete(name);
      this.bytes -= column.values.byteLength;
      if (block.columns.size === 0) this.blocks.delete(block.from_s);
    }
    return this.bytes + bytes <= this.most_bytes;
  }
}
