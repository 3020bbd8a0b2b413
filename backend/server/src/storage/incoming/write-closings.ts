import type pg from 'pg';
import type { ClosingRow, CommitSummary } from './ingest-batch.js';

const nullable = (values: Float64Array) =>
  Array.from(values, (value) => (Number.isNaN(value) ? null : value));

/** Writes closings; those already there are left as they are and not told. */
export async function writeClosings(
  client: pg.PoolClient,
  closings: ClosingRow[],
): Promise<CommitSummary['closings']> {
  if (closings.length === 0) return [];
  const written: CommitSummary['closings'] = [];
  for (const closing of closings) {
    const { rowCount } = await client.query({
      name: 'write-closing',
      text: `insert into closing (module_id, started_at, time_s, voltage_v, current_a, valve_opening_pct)
             values ($1, to_timestamp($2::float8), $3::real[], $4::real[], $5::real[], $6::real[])
             on conflict do nothing`,
      values: [
        closing.moduleId,
        closing.startedAt_ms / 1000,
        Array.from(closing.time_s),
        nullable(closing.voltage_V),
        nullable(closing.current_A),
        nullable(closing.valveOpening_pct),
      ],
    });
    if (rowCount) written.push({ moduleId: closing.moduleId, startedAt_ms: closing.startedAt_ms });
  }
  if (written.length > 0)
    await client.query(
      `insert into closing_due (module_id, started_at)
       select id, to_timestamp(started_s) from unnest($1::int[], $2::float8[]) as c(id, started_s) order by 1, 2
       on conflict do nothing`,
      [written.map(({ moduleId }) => moduleId), written.map(({ startedAt_ms }) => startedAt_ms / 1000)],
    );
  return written;
}
