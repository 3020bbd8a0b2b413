import { monthStart_s } from '@coldrounds/core';
import type pg from 'pg';
import { partsSql, type ColdPart } from '../cold/cold-manifest.js';
import type { ColdReader } from '../cold/cold-reader.js';
import type { TelemetryTable } from '../schema/telemetry-tables.js';
import { readSamples } from '../repositories/readings/samples.js';
import { copiedReadings, readingColumns, type ReadingBlock } from './copied-readings.js';

interface Span {
  from_s: number;
  to_s: number;
}

/** Rows of a block. */
const blockRows = 16_384;

/**
 * Readings of one owner from both stores in time order, as they stood at one moment: the caller's transaction. A month of which anything
 * was moved is read whole; in memory at a time is one month at most.
 */
export async function* readingsOfBoth(
  { client, cold }: { client: pg.PoolClient; cold: ColdReader | null },
  table: TelemetryTable,
  ownerId: number,
  span: Span,
): AsyncGenerator<ReadingBlock> {
  const found = cold === null ? [] : await partsIn(client, table, ownerId, span);
  for (const { moved, ...stretch } of stretches(span, found)) {
    if (!moved) {
      yield* copiedReadings(client, table, ownerId, stretch, blockRows);
      continue;
    }
    const stores = { database: client, cold };
    const owner = { sql: '$1', id: ownerId };
    const { time_s, columns } = await readSamples(stores, table, owner, readingColumns(table), {
      from: new Date(stretch.from_s * 1000),
      to: new Date(stretch.to_s * 1000),
    });
    for (let at = 0; at < time_s.length; at += blockRows) {
      const block = time_s.subarray(at, at + blockRows);
      yield {
        rows: block.length,
        time_s: block,
        columns: columns.map((values) => Float32Array.from(values.subarray(at, at + blockRows))),
      };
    }
  }
}

async function partsIn(
  client: pg.PoolClient,
  table: TelemetryTable,
  ownerId: number,
  { from_s, to_s }: Span,
): Promise<ColdPart[]> {
  const { rows } = await client.query<{ parts: ColdPart[] | null }>(
    `select ${partsSql(table.name, '$1', 'to_timestamp($2)', 'to_timestamp($3)')} as parts`,
    [ownerId, from_s, to_s],
  );
  return rows[0].parts ?? [];
}

/** The span cut at the months (UTC) of which anything was moved. */
function stretches({ from_s, to_s }: Span, parts: readonly ColdPart[]): (Span & { moved: boolean })[] {
  const months = [...new Set(parts.map(({ first_s }) => monthStart_s(first_s)))].sort((a, b) => a - b);
  const cut: (Span & { moved: boolean })[] = [];
  let at_s = from_s;
  for (const month_s of months) {
    const [begin_s, end_s] = [Math.max(month_s, from_s), Math.min(monthStart_s(month_s, 1), to_s)];
    if (at_s < begin_s) cut.push({ from_s: at_s, to_s: begin_s, moved: false });
    cut.push({ from_s: begin_s, to_s: end_s, moved: true });
    at_s = end_s;
  }
  if (at_s < to_s) cut.push({ from_s: at_s, to_s, moved: false });
  return cut;
}
