import type { DuckDBConnection, DuckDBInstance } from '@duckdb/node-api';
import { mkdtemp, rm } from 'node:fs/promises';
import { join } from 'node:path';

/** Columns of an answer as numbers; NaN where there is no value. */
export interface NumberColumns {
  rows: number;
  columns: Float64Array[];
}

/**
 * DuckDB in this process, loaded when it is first needed: 70 MB of a library, which a run without a cold store spares. It takes one
 * core and a bounded share of memory, and fetches nothing from the network.
 */
export class Duck {
  private opened: Promise<{ instance: DuckDBInstance; folder: string }> | undefined;

  constructor(private readonly workFolder: string) {}

  /** A folder of its own, for what does not fit in memory and for files that are being made. */
  async folder(): Promise<string> {
    return (await this.open()).folder;
  }

  /** Runs `work` on a connection of its own. */
  async connected<Result>(work: (connection: DuckDBConnection) => Promise<Result>): Promise<Result> {
    const { instance } = await this.open();
    const connection = await instance.connect();
    try {
      await connection.run(`set timezone = 'UTC'`);
      return await work(connection);
    } finally {
      connection.closeSync();
    }
  }

  async close(): Promise<void> {
    const opened = await this.opened?.catch(() => undefined);
    this.opened = undefined;
    if (opened === undefined) return;
    opened.instance.closeSync();
    await rm(opened.folder, { recursive: true, force: true });
  }

  private open(): Promise<{ instance: DuckDBInstance; folder: string }> {
    this.opened ??= this.load().catch((error: unknown) => {
      this.opened = undefined;
      throw error;
    });
    return this.opened;
  }

  private async load() {
    const { DuckDBInstance } = await import('@duckdb/node-api');
    const folder = await mkdtemp(join(this.workFolder, 'coldrounds-cold-'));
    const instance = await DuckDBInstance.create(':memory:', {
      threads: '1',
      memory_limit: '768MB',
      temp_directory: join(folder, 'spill'),
      autoinstall_known_extensions: 'false',
      autoload_known_extensions: 'false',
    });
    return { instance, folder };
  }
}

/** Numbers of a query's answer, column by column. */
export async function numbersOf(
  connection: DuckDBConnection,
  sql: string,
  width: number,
): Promise<NumberColumns> {
  const result = await connection.stream(sql);
  const pieces: Float64Array[][] = [];
  let rows = 0;
  for (let chunk = await result.fetchChunk(); chunk !== null && chunk.rowCount > 0;) {
    const { rowCount } = chunk;
    const piece: Float64Array[] = [];
    for (let at = 0; at < width; at++) {
      const vector = chunk.getColumnVector(at);
      const values = new Float64Array(rowCount);
      for (let row = 0; row < rowCount; row++) values[row] = (vector.getItem(row) as number | null) ?? NaN;
      piece.push(values);
    }
    pieces.push(piece);
    rows += rowCount;
    chunk = await result.fetchChunk();
  }
  const columns = Array.from({ length: width }, (_, column) => {
    const whole = new Float64Array(rows);
    let at = 0;
    for (const piece of pieces) {
      whole.set(piece[column], at);
      at += piece[column].length;
    }
    return whole;
  });
  return { rows, columns };
}

/** A text as a literal of SQL. */
export const literal = (text: string): string => `'${text.replaceAll("'", "''")}'`;
