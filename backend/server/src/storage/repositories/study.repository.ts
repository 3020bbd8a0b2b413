import type { AgeingMonth, ModuleBaseline } from '@coldrounds/core';
import type { Queryable } from '../connection/database.js';

export interface CircuitFigures {
  circuitId: number;
  steadyMinutes: number;
  superheatMean_K: number | null;
  superheatSpread_K: number | null;
  floodbackFraction: number | null;
  huntingFraction: number | null;
  valveTravel_strokes_day: number | null;
  valveReversals_day: number | null;
}

export interface ModuleAgeing {
  moduleId: number;
  baseline: ModuleBaseline;
  /** null: assessed before months were worked out. */
  months: AgeingMonth[] | null;
}

/** Figures over the whole fleet. */
export class StudyRepository {
  constructor(private readonly database: Queryable) {}

  /**
   * Means over days, weighted by steady minutes; the spread is that of all values, within days and between them; travel
   * and reversals over the minutes in which the valve was seen. The same as core's `summarise` of the windows.
   */
  async circuits(from_s: number): Promise<CircuitFigures[]> {
    const weighted = (value: string) =>
      `sum(${value} * steady_minutes) / nullif(sum(steady_minutes) filter (where ${value} is not null), 0)`;
    const mean = 'superheat_mean_k::float8';
    const { rows } = await this.database.query<CircuitFigures>(
      `select circuit_id as "circuitId", sum(steady_minutes)::float8 as "steadyMinutes",
              ${weighted(mean)} as "superheatMean_K",
              sqrt(greatest(0, ${weighted(`(superheat_spread_k::float8 ^ 2 + ${mean} ^ 2)`)}
                - (${weighted(mean)}) ^ 2)) as "superheatSpread_K",
              ${weighted('floodback_share')} as "floodbackFraction",
              sum(hunting_minutes) / nullif(sum(judged_minutes), 0) as "huntingFraction",
              sum(valve_travel_strokes) * 1440 / nullif(sum(valve_minutes), 0) as "valveTravel_strokes_day",
              sum(valve_reversals) * 1440 / nullif(sum(valve_minutes), 0) as "valveReversals_day"
         from circuit_day where day >= to_timestamp($1) group by circuit_id`,
      [from_s],
    );
    return rows;
  }

  /** What is known of the ageing of each assessed module. */
  async ageing(): Promise<ModuleAgeing[]> {
    const { rows } = await this.database.query<ModuleAgeing>(
      `select module_id as "moduleId", detail->'baseline' as baseline, detail->'ageing' as months from module_result`,
    );
    return rows;
  }
}
