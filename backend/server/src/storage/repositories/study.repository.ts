import type { Queryable } from '../database.js';

export interface CircuitFigures {
  circuitId: number;
  steadyMinutes: number;
  superheatMean_K: number | null;
  superheatSpread_K: number | null;
  floodbackShare: number | null;
  huntingShare: number | null;
  valveTravel_strokes_day: number | null;
  valveReversals_day: number | null;
}

export interface ClosingFigures {
  moduleId: number;
  time_s: number;
  capacitance_F: number | null;
  esr_Ohm: number | null;
  temperature_K: number | null;
}

/** Figures over the whole fleet. */
export class StudyRepository {
  constructor(private readonly database: Queryable) {}

  /** Means over windows, weighed by steady minutes; travel and reversals over the minutes in which the valve was seen. */
  async circuits(from_s: number): Promise<CircuitFigures[]> {
    const { rows } = await this.database.query<CircuitFigures>(
      `select circuit_id as "circuitId", sum(steady_minutes)::float8 as "steadyMinutes",
              sum(superheat_mean_k * steady_minutes) / nullif(sum(steady_minutes) filter (where superheat_mean_k is not null), 0) as "superheatMean_K",
              sqrt(sum(superheat_spread_k ^ 2 * steady_minutes) / nullif(sum(steady_minutes) filter (where superheat_spread_k is not null), 0)) as "superheatSpread_K",
              sum(floodback_share * steady_minutes) / nullif(sum(steady_minutes) filter (where floodback_share is not null), 0) as "floodbackShare",
              sum((detail->'oscillation'->>'huntingMinutes')::float8)
                / nullif(sum((detail->'oscillation'->>'judgedMinutes')::float8), 0) as "huntingShare",
              sum(valve_travel_strokes) * 1440 / nullif(sum((detail->'valve'->>'minutes')::float8), 0) as "valveTravel_strokes_day",
              sum(valve_reversals) * 1440 / nullif(sum((detail->'valve'->>'minutes')::float8), 0) as "valveReversals_day"
         from window_result where window_start >= to_timestamp($1) group by circuit_id`,
      [from_s],
    );
    return rows;
  }

  /** Weekly medians of what the closings of each module measured. */
  async closings(): Promise<ClosingFigures[]> {
    const { rows } = await this.database.query<ClosingFigures>(
      `select module_id as "moduleId", avg(extract(epoch from started_at))::float8 as time_s,
              percentile_cont(0.5) within group (order by capacitance_f) as "capacitance_F",
              percentile_cont(0.5) within group (order by esr_ohm) as "esr_Ohm",
              percentile_cont(0.5) within group (order by temperature_k) as "temperature_K"
         from closing_result where capacitance_f is not null
        group by module_id, floor(extract(epoch from started_at) / 604800) order by module_id, 2`,
    );
    return rows;
  }
}
