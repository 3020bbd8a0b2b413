import type { Queryable } from '../database.js';
import { rollup_s } from '../rollups.js';
import { decodeFloats } from './float-arrays.js';

export interface CircuitEvidence {
  circuitId: number;
  time_s: Float64Array;
  superheat_K: Float64Array;
  valveOpening_pct: Float64Array;
}

/** Small drawings for lists: the last day of a circuit from its rollups. */
export class EvidenceRepository {
  constructor(private readonly database: Queryable) {}

  /** Up to 120 points, each the mean of as many rollups as make 12 minutes, over the day that ends at the newest one. */
  async lastDay(circuitIds: number[], before_s: number): Promise<CircuitEvidence[]> {
    if (circuitIds.length === 0) return [];
    const { rows } = await this.database.query<{
      circuit_id: number;
      time: Buffer;
      superheat: Buffer;
      opening: Buffer;
    }>(
      `select circuit_id, array_send(array_agg(bin order by bin)) as time,
              array_send(array_agg(superheat::real order by bin)) as superheat,
              array_send(array_agg(opening::real order by bin)) as opening
         from (
           select c.id as circuit_id, floor(extract(epoch from r.time) / 720)::float8 * 720 as bin,
                  avg(r.superheat) as superheat, avg(r.opening) as opening
             from unnest($1::int[]) as c(id)
             cross join lateral (select max(window_start) as newest from rollup_window
                                  where circuit_id = c.id and window_start <= to_timestamp($2)) n
             cross join lateral (
               select w.window_start + (p.place - 1) * interval '${rollup_s} seconds' as time, p.superheat, p.opening
                 from rollup_window w
                 cross join lateral unnest(w.superheat_mean_k, w.valve_opening_mean_pct) with ordinality as p(superheat, opening, place)
                where w.circuit_id = c.id and w.window_start > n.newest - interval '24 hours' and w.window_start <= n.newest) r
            where r.time <= to_timestamp($2)
            group by 1, 2) as binned
        where superheat is not null or opening is not null
        group by circuit_id`,
      [circuitIds, before_s],
    );
    return rows.map((row) => ({
      circuitId: row.circuit_id,
      time_s: decodeFloats(row.time),
      superheat_K: decodeFloats(row.superheat),
      valveOpening_pct: decodeFloats(row.opening),
    }));
  }
}
