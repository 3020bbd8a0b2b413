import type pg from 'pg';
import { to as copyTo } from 'pg-copy-streams';
import { flagsOf, type TelemetryTable } from '../schema/telemetry-tables.js';

/** Readings of one circuit, unit or module in time order, by columns; NaN where nothing was sent. */
export interface ReadingBlock {
  rows: number;
  /** s since 1970. */
  time_s: Float64Array;
  /** In the order of `readingColumns`; flags are 0 and 1. */
  columns: Float32Array[];
}

const postgresEpoch_us = 946_684_800e6;
/** Bits of NaN as `real` (IEEE 754). */
const missing = 0x7fc00000;
/** Signature, flags and length of the header's extension (PostgreSQL: COPY, binary format). */
const header_bytes = 19;

/** What is stored of a reading beside its owner and time. */
export const readingColumns = ({ columns, differences }: TelemetryTable): string[] =>
  [...columns, ...differences].map(({ name }) => name);

/**
 * Reads telemetry as PostgreSQL's binary COPY: nothing is put into text on the way, and what is in memory at a time is one block.
 *
 * @param blockRows rows of a block
 */
export async function* copiedReadings(
  client: pg.PoolClient,
  table: TelemetryTable,
  ownerId: number,
  span: { from_s: number; to_s: number },
  blockRows = 16_384,
): AsyncGenerator<ReadingBlock> {
  const names = readingColumns(table);
  const flags = flagsOf(table);
  const stream = client.query(
    copyTo(
      `copy (select time, ${names.map((name) => (flags.has(name) ? `${name}::int::real` : name)).join(', ')}
               from ${table.name} where ${table.owner} = ${Math.trunc(ownerId)}
                and time >= to_timestamp(${Number(span.from_s)}) and time < to_timestamp(${Number(span.to_s)})
              order by time) to stdout (format binary)`,
    ),
  );
  const rows = new BinaryRows(names.length, blockRows);
  for await (const chunk of stream as AsyncIterable<Buffer>) {
    rows.add(chunk);
    for (let block = rows.full(); block !== null; block = rows.full()) yield block;
  }
  const last = rows.rest();
  if (last !== null) yield last;
}

/** Takes the rows of a binary COPY apart: a time and reals, big-endian. */
class BinaryRows {
  private pending: Buffer = Buffer.alloc(0);
  private view = new DataView(this.pending.buffer, 0, 0);
  private at = header_bytes;
  private rows = 0;
  private block: ReadingBlock & { bits: Int32Array[] };

  constructor(
    private readonly width: number,
    private readonly blockRows: number,
  ) {
    this.block = newBlock(width, blockRows);
  }

  add(chunk: Buffer): void {
    const left = this.pending.length - this.at;
    this.pending = left > 0 ? Buffer.concat([this.pending.subarray(this.at), chunk]) : chunk;
    this.at = left > 0 ? 0 : -left;
    this.view = new DataView(this.pending.buffer, this.pending.byteOffset, this.pending.length);
  }

  /** A block that is full; null: more bytes are needed first. */
  full(): ReadingBlock | null {
    // A row of nothing but values is the longest.
    const longest = 2 + 12 + 8 * this.width;
    while (this.rows < this.blockRows) {
      const left = this.pending.length - this.at;
      if (left < 2) return null;
      // The end of the copy is a count of -1.
      if (this.view.getInt16(this.at) < 0) return null;
      if (left < longest && !this.isWhole(left)) return null;
      this.takeRow();
    }
    return this.taken();
  }

  rest(): ReadingBlock | null {
    return this.rows === 0 ? null : this.taken();
  }

  /** Whether the row at hand is there to its end. */
  private isWhole(left: number): boolean {
    let at = 2 + 12;
    for (let column = 0; column < this.width; column++) {
      if (left < at + 4) return false;
      at += this.view.getInt32(this.at + at) === 4 ? 8 : 4;
    }
    return left >= at;
  }

  private takeRow(): void {
    const { view, block, rows, width } = this;
    const { bits } = block;
    const time_us = view.getInt32(this.at + 6) * 2 ** 32 + view.getUint32(this.at + 10);
    block.time_s[rows] = (time_us + postgresEpoch_us) / 1e6;
    let at = this.at + 14;
    for (let column = 0; column < width; column++) {
      // The bits of the real as they are: reading them as a number would cost more.
      if (view.getInt32(at) === 4) {
        bits[column][rows] = view.getInt32(at + 4);
        at += 8;
      } else {
        bits[column][rows] = missing;
        at += 4;
      }
    }
    this.at = at;
    this.rows++;
  }

  private taken(): ReadingBlock {
    const { time_s, columns } = this.block;
    const rows = this.rows;
    this.rows = 0;
    this.block = newBlock(this.width, this.blockRows);
    return {
      rows,
      time_s: time_s.subarray(0, rows),
      columns: columns.map((values) => values.subarray(0, rows)),
    };
  }
}

function newBlock(width: number, rows: number): ReadingBlock & { bits: Int32Array[] } {
  const bits = Array.from({ length: width }, () => new Int32Array(rows));
  return {
    rows,
    time_s: new Float64Array(rows),
    bits,
    columns: bits.map(({ buffer }) => new Float32Array(buffer)),
  };
}
