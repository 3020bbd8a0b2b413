import type { CircuitAssessment, WindowJudgement } from '@coldrounds/core';
import type { Queryable } from '../database.js';

export interface JudgedWindow {
  start_s: number;
  judgement: WindowJudgement;
}

/** Two-minute means of one circuit, as columns; NaN where nothing was sent. */
export interface Rollup {
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

export interface WindowResultRow {
  start_s: number;
  judgedAt: Date;
  detail: WindowJudgement;
}

const orNull = (value: number) => (Number.isFinite(value) ? value : null);

/** Judged windows, their rollups, and what follows from them for a circuit. */
export class WindowRepository {
  constructor(private readonly database: Queryable) {}

  /** Writes all at once; a window that was judged before is replaced. */
  async write(circuitId: number, windows: JudgedWindow[]): Promise<void> {
    const rows = windows.map(({ start_s, judgement: { superheat, oscillation, valve, ...rest } }) => ({
      start_s,
      samples: rest.sampleCount,
      steady: rest.minutes.steady,
      mean: superheat?.mean_K ?? null,
      spread: superheat?.spread_K ?? null,
      floodback: superheat?.underLimitShare ?? null,
      oscillating: oscillation.oscillating,
      period: oscillation.period_s,
      amplitude: oscillation.amplitude,
      travel: valve?.travel_strokes ?? null,
      reversals: valve?.reversals ?? null,
    }));
    const of = <K extends keyof (typeof rows)[number]>(name: K) => rows.map((row) => row[name]);
    await this.database.query(
      `insert into window_result (circuit_id, window_start, judged_at, sample_count, steady_minutes, superheat_mean_k,
         superheat_spread_k, floodback_share, oscillating, period_s, amplitude_k, valve_travel_strokes, valve_reversals, detail)
       select $1, to_timestamp(w.start_s), now(), w.samples, w.steady, w.mean, w.spread, w.floodback, w.oscillating,
              w.period, w.amplitude, w.travel, w.reversals, w.detail::jsonb
         from unnest($2::float8[], $3::int[], $4::real[], $5::real[], $6::real[], $7::real[], $8::boolean[], $9::real[],
                     $10::real[], $11::real[], $12::int[], $13::text[])
              as w(start_s, samples, steady, mean, spread, floodback, oscillating, period, amplitude, travel, reversals, detail)
       on conflict (circuit_id, window_start) do update set judged_at = excluded.judged_at,
         sample_count = excluded.sample_count, steady_minutes = excluded.steady_minutes,
         superheat_mean_k = excluded.superheat_mean_k, superheat_spread_k = excluded.superheat_spread_k,
         floodback_share = excluded.floodback_share, oscillating = excluded.oscillating, period_s = excluded.period_s,
         amplitude_k = excluded.amplitude_k, valve_travel_strokes = excluded.valve_travel_strokes,
         valve_reversals = excluded.valve_reversals, detail = excluded.detail`,
      [
        circuitId,
        of('start_s'),
        of('samples'),
        of('steady'),
        of('mean'),
        of('spread'),
        of('floodback'),
        of('oscillating'),
        of('period'),
        of('amplitude'),
        of('travel'),
        of('reversals'),
        windows.map(({ judgement }) => JSON.stringify(judgement)),
      ],
    );
  }

  async writeRollup(circuitId: number, rollup: Rollup): Promise<void> {
    if (rollup.time_s.length === 0) return;
    const names = rollupColumns.join(', ');
    const casts = rollupColumns.map((_, index) => `$${index + 4}::real[]`).join(', ');
    const updates = rollupColumns.map((name) => `${name} = excluded.${name}`).join(', ');
    await this.database.query(
      `insert into reading_rollup (circuit_id, time, samples, ${names})
       select $1, to_timestamp(r.time_s), r.samples, ${rollupColumns.map((name) => `r.${name}`).join(', ')}
         from unnest($2::float8[], $3::smallint[], ${casts}) as r(time_s, samples, ${names})
       on conflict (circuit_id, time) do update set samples = excluded.samples, ${updates}`,
      [
        circuitId,
        rollup.time_s,
        rollup.samples,
        ...rollupColumns.map((name) => rollup.columns[name].map(orNull)),
      ],
    );
  }

  /** Judgements of the windows that start in the span, in time order. */
  async judgements(circuitId: number, from_s: number, to_s: number): Promise<WindowResultRow[]> {
    const { rows } = await this.database.query<{ start_s: number; judged_at: Date; detail: WindowJudgement }>(
      `select extract(epoch from window_start)::float8 as start_s, judged_at, detail from window_result
        where circuit_id = $1 and window_start >= to_timestamp($2) and window_start < to_timestamp($3)
        order by window_start`,
      [circuitId, from_s, to_s],
    );
    return rows.map((row) => ({ start_s: row.start_s, judgedAt: row.judged_at, detail: row.detail }));
  }

  /** The newest judged window of each circuit. */
  async newest(circuitIds: number[]): Promise<Map<number, WindowJudgement>> {
    const { rows } = await this.database.query<{ id: number; detail: WindowJudgement }>(
      `select c.id, w.detail from unnest($1::int[]) as c(id) cross join lateral (
         select detail from window_result where circuit_id = c.id order by window_start desc limit 1) w`,
      [circuitIds],
    );
    return new Map(rows.map((row) => [row.id, row.detail]));
  }

  /** Start of the newest judged window of a circuit. */
  async newestStart_s(circuitId: number): Promise<number | null> {
    const { rows } = await this.database.query<{ start_s: number | null }>(
      `select extract(epoch from max(window_start))::float8 as start_s from window_result where circuit_id = $1`,
      [circuitId],
    );
    return rows[0].start_s;
  }

  async writeAssessment(
    circuitId: number,
    assessment: Omit<CircuitAssessment, 'findings'>,
    dataUntil_s: number,
  ): Promise<void> {
    await this.database.query(
      `insert into circuit_result (circuit_id, judged_at, data_until, detail) values ($1, now(), to_timestamp($2), $3)
       on conflict (circuit_id) do update set judged_at = now(), data_until = excluded.data_until, detail = excluded.detail`,
      [circuitId, dataUntil_s, JSON.stringify(assessment)],
    );
  }

  async assessments(
    circuitIds: number[],
  ): Promise<Map<number, { judgedAt: Date; detail: Omit<CircuitAssessment, 'findings'> }>> {
    const { rows } = await this.database.query<{
      circuit_id: number;
      judged_at: Date;
      detail: Omit<CircuitAssessment, 'findings'>;
    }>('select circuit_id, judged_at, detail from circuit_result where circuit_id = any($1)', [circuitIds]);
    return new Map(rows.map((row) => [row.circuit_id, { judgedAt: row.judged_at, detail: row.detail }]));
  }

  /** What every circuit's valve does a day, for comparison. */
  async fleetWear(): Promise<{ circuitId: number; travel: number; reversals: number }[]> {
    const { rows } = await this.database.query<{ circuit_id: number; travel: number; reversals: number }>(
      `select circuit_id, (detail->'wear'->>'travel_strokes_per_day')::float8 as travel,
              (detail->'wear'->>'reversals_per_day')::float8 as reversals
         from circuit_result where detail->'wear' <> 'null'::jsonb`,
    );
    return rows.map((row) => ({ circuitId: row.circuit_id, travel: row.travel, reversals: row.reversals }));
  }

  async sensorsUntil_s(circuitId: number): Promise<number | null> {
    const { rows } = await this.database.query<{ until: number | null }>(
      'select extract(epoch from sensors_until)::float8 as until from circuit_result where circuit_id = $1',
      [circuitId],
    );
    return rows[0]?.until ?? null;
  }

  async setSensorsUntil(circuitId: number, until_s: number): Promise<void> {
    await this.database.query(
      'update circuit_result set sensors_until = to_timestamp($2) where circuit_id = $1',
      [circuitId, until_s],
    );
  }
}
