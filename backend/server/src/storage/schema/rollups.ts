/** Two-minute summaries of one circuit's window, as columns; NaN where nothing was sent. */
export interface Rollup {
  window_s: number;
  time_s: number[];
  samples: number[];
  columns: Record<RollupColumn, number[]>;
}

export const rollupColumns = [
  'superheat_mean_k',
  'superheat_min_k',
  'superheat_max_k',
  'subcooling_mean_k',
  'valve_opening_mean_pct',
  'valve_opening_min_pct',
  'valve_opening_max_pct',
  'suction_pressure_mean_pa',
  'suction_temperature_mean_k',
  'discharge_pressure_mean_pa',
  'discharge_temperature_mean_k',
  'liquid_temperature_mean_k',
  'superheat_setpoint_mean_k',
  'compressor_load_mean_pct',
] as const;
export type RollupColumn = (typeof rollupColumns)[number];

export const rollup_s = 120;
export const rollupsOfWindow = 7200 / rollup_s;

/** A column's values at their places in the window. Null where it has none at all. */
export function inPlaces({ window_s, time_s }: Rollup, values: readonly number[]): (number | null)[] | null {
  const places = new Array<number | null>(rollupsOfWindow).fill(null);
  let some = false;
  for (const [index, value] of values.entries()) {
    if (!Number.isFinite(value)) continue;
    places[Math.floor((time_s[index] - window_s) / rollup_s)] = value;
    some = true;
  }
  return some ? places : null;
}

/**
 * The rollups of a circuit ($1) from $2 to $3, in seconds since the epoch, as rows of two minutes: what stands for a
 * table `rollup` in a query.
 */
export const rollupRows = `(
  select w.circuit_id, w.window_start + (r.place - 1) * interval '${rollup_s} seconds' as time, r.*
    from rollup_window w cross join lateral
         unnest(w.samples, ${rollupColumns.map((name) => `w.${name}`).join(', ')}) with ordinality as r(samples, ${rollupColumns.join(', ')}, place)
   where w.circuit_id = $1 and w.window_start > to_timestamp($2) - interval '2 hours' and w.window_start < to_timestamp($3)
     and r.samples is not null) as rollup`;
