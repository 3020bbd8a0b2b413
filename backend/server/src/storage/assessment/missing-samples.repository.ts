import { missingSamples, type HourOfSamples } from '@coldrounds/core';
import type { Queryable } from '../connection/database.js';

/** Samples of the last day that did not come. */
export interface MissingTotals {
  samples: number;
  units: number;
  sites: number;
}

/** One unit of which samples of the last day are missing, hour by hour. */
export interface MissingOfUnit {
  /** Keys. */
  site: string;
  unit: string;
  missing: number;
  /** Hours with missing samples, of all circuits together. */
  hours: { hour_s: number; expected: number; received: number }[];
}

const lastDay = `m.hour > now() - interval '25 hours'`;

/** What the sampling of circuits promises and what did not come, by circuit and hour. */
export class MissingSamplesRepository {
  constructor(private readonly database: Queryable) {}

  /** @param sites keys of the only ones that count; null: all */
  async totals(sites: readonly string[] | null = null): Promise<MissingTotals> {
    const { rows } = await this.database.query<MissingTotals>(
      `select coalesce(sum(m.expected - m.received), 0)::float8 as samples,
              count(distinct c.unit_id)::int as units, count(distinct u.site_id)::int as sites
         from missing_samples m join circuit c on c.id = m.circuit_id join unit u on u.id = c.unit_id
        where ${lastDay}
          and ($1::text[] is null or u.site_id in (select id from site where key = any($1)))`,
      [sites],
    );
    return rows[0];
  }

  /** Units of which most is missing. */
  async worst(limit: number, sites: readonly string[] | null = null): Promise<MissingOfUnit[]> {
    const { rows } = await this.database.query<MissingOfUnit>(
      `with of_hour as (
         select c.unit_id, m.hour, sum(m.expected) as expected, sum(m.received) as received
           from missing_samples m join circuit c on c.id = m.circuit_id where ${lastDay} group by 1, 2)
       select s.key as site, u.key as unit, sum(h.expected - h.received)::float8 as missing,
              jsonb_agg(jsonb_build_object('hour_s', extract(epoch from h.hour), 'expected', h.expected, 'received', h.received)
                order by h.hour) as hours
         from of_hour h join unit u on u.id = h.unit_id join site s on s.id = u.site_id
        where $2::text[] is null or s.key = any($2)
        group by s.key, u.key order by 3 desc, 1, 2 limit $1`,
      [limit, sites],
    );
    return rows;
  }
}

/**
 * Keeps the hours in which samples are missing; what came late takes an hour out again. Where a silence begins in one
 * window and ends in another of the same set, both tell its first hours: the later one knows that samples came after.
 */
export async function writeMissing(
  client: Queryable,
  judged: readonly { circuitId: number; hours: readonly HourOfSamples[] }[],
): Promise<void> {
  const told = judged.flatMap(({ circuitId, hours: own }) => own.map((hour) => ({ circuitId, ...hour })));
  const hours = [...new Map(told.map((hour) => [`${hour.circuitId} ${hour.hour_s}`, hour])).values()];
  if (hours.length === 0) return;
  await client.query(
    `delete from missing_samples m using unnest($1::int[], $2::float8[]) as h(id, hour_s)
      where m.circuit_id = h.id and m.hour = to_timestamp(h.hour_s) and m.hour between to_timestamp($3) and to_timestamp($4)`,
    [
      hours.map(({ circuitId }) => circuitId),
      hours.map(({ hour_s }) => hour_s),
      // Said apart, so that parts of other times are not looked into.
      Math.min(...hours.map(({ hour_s }) => hour_s)),
      Math.max(...hours.map(({ hour_s }) => hour_s)),
    ],
  );
  const missing = hours.filter((hour) => missingSamples(hour) > 0);
  if (missing.length === 0) return;
  await client.query(
    `insert into missing_samples (circuit_id, hour, expected, received)
     select h.id, to_timestamp(h.hour_s), h.expected, h.received
       from unnest($1::int[], $2::float8[], $3::int[], $4::int[]) as h(id, hour_s, expected, received)
     on conflict (hour, circuit_id) do update set expected = excluded.expected, received = excluded.received`,
    [
      missing.map(({ circuitId }) => circuitId),
      missing.map(({ hour_s }) => hour_s),
      missing.map(({ expected }) => expected),
      missing.map(({ received }) => received),
    ],
  );
}
