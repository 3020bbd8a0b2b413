import type { CircuitSeries, ModuleReadings } from '@coldrounds/core';
import { readCircuitSeries } from './circuit-series.js';
import type { Queryable } from '../../connection/database.js';
import { decodeFloats } from './float-arrays.js';

export interface LatestReading {
  circuitId: number;
  time_s: number;
  suctionPressure_Pa: number | null;
  suctionTemperature_K: number | null;
  valveOpening_pct: number | null;
  valveOpening2_pct: number | null;
  dischargePressure_Pa: number | null;
  dischargeTemperature_K: number | null;
  liquidTemperature_K: number | null;
  superheatSetpoint_K: number | null;
  compressorLoad_pct: number | null;
}

export interface LatestModuleReading {
  moduleId: number;
  time_s: number;
  voltage_V: number | null;
  current_A: number | null;
  temperature_K: number | null;
  mains: boolean | null;
  health: boolean | null;
}

const date = (time_s: number) => new Date(time_s * 1000);
const epoch = (name: string) => `extract(epoch from ${name})::float8`;

/** Samples as they were sent. */
export class ReadingRepository {
  constructor(private readonly database: Queryable) {}

  circuitSeries(circuitId: number, from_s: number, to_s: number): Promise<CircuitSeries> {
    return readCircuitSeries(this.database, circuitId, date(from_s), date(to_s));
  }

  async moduleReadings(moduleId: number, from_s: number, to_s: number): Promise<ModuleReadings> {
    const names = ['voltage_v', 'current_a', 'temperature_k', 'mains::int::real', 'health::int::real'];
    const { rows } = await this.database.query<Record<string, Buffer | null>>(
      `select array_send(array_agg(${epoch('time')})) as time,
              ${names.map((name, index) => `array_send(array_agg(${name})) as c${index}`).join(', ')}
         from (select * from backup_reading where module_id = $1 and time >= $2 and time < $3 order by time) as sample`,
      [moduleId, date(from_s), date(to_s)],
    );
    const [voltage_V, current_A, temperature_K, mains, health] = names.map((_, index) =>
      decodeFloats(rows[0][`c${index}`]),
    );
    return { time_s: decodeFloats(rows[0].time), voltage_V, current_A, temperature_K, mains, health };
  }

  /** Whether the mains contact of a module that serves the circuit was ever seen gone in the span. */
  async modulesWithoutMains(moduleIds: number[], from_s: number, to_s: number): Promise<number[]> {
    if (moduleIds.length === 0) return [];
    const { rows } = await this.database.query<{ module_id: number }>(
      `select distinct module_id from backup_reading
        where module_id = any($1) and time >= $2 and time < $3 and not mains`,
      [moduleIds, date(from_s), date(to_s)],
    );
    return rows.map((row) => row.module_id);
  }

  async latest(circuitIds: number[], before_s?: number): Promise<LatestReading[]> {
    const { rows } = await this.database.query<LatestReading>(
      `select c.id as "circuitId", ${epoch('r.time')} as time_s,
              r.suction_pressure_pa as "suctionPressure_Pa", r.suction_temperature_k as "suctionTemperature_K",
              r.valve_opening_pct as "valveOpening_pct", r.valve_opening_2_pct as "valveOpening2_pct",
              r.discharge_pressure_pa as "dischargePressure_Pa", r.discharge_temperature_k as "dischargeTemperature_K",
              r.liquid_temperature_k as "liquidTemperature_K", r.superheat_setpoint_k as "superheatSetpoint_K",
              r.compressor_load_pct as "compressorLoad_pct"
         from unnest($1::int[]) as c(id) cross join lateral (
           select * from reading where circuit_id = c.id and ($2::timestamptz is null or time <= $2) order by time desc limit 1) r`,
      [circuitIds, before_s === undefined ? null : date(before_s)],
    );
    return rows;
  }

  /** When the last reading before a span came, and whether there is any after it. */
  async around(
    circuitId: number,
    from_s: number,
    to_s: number,
  ): Promise<{ before_s: number | null; after: boolean }> {
    const { rows } = await this.database.query<{ before_s: number | null; after: boolean }>(
      `select (select ${epoch('time')} from reading where circuit_id = $1 and time < $2 order by time desc limit 1) as before_s,
              exists (select from reading where circuit_id = $1 and time >= $3) as after`,
      [circuitId, date(from_s), date(to_s)],
    );
    return rows[0];
  }

  /** Newest time of each circuit that has any reading. */
  async newest_s(circuitIds: number[], before_s?: number): Promise<Map<number, number>> {
    const { rows } = await this.database.query<{ id: number; time_s: number }>(
      `select c.id, ${epoch('r.time')} as time_s from unnest($1::int[]) as c(id) cross join lateral (
         select time from reading where circuit_id = c.id and ($2::timestamptz is null or time <= $2) order by time desc limit 1) r`,
      [circuitIds, before_s === undefined ? null : date(before_s)],
    );
    return new Map(rows.map((row) => [row.id, row.time_s]));
  }

  async latestModules(moduleIds: number[]): Promise<LatestModuleReading[]> {
    const { rows } = await this.database.query<LatestModuleReading>(
      `select m.id as "moduleId", ${epoch('r.time')} as time_s, r.voltage_v as "voltage_V",
              r.current_a as "current_A", r.temperature_k as "temperature_K", r.mains, r.health
         from unnest($1::int[]) as m(id) cross join lateral (
           select * from backup_reading where module_id = m.id order by time desc limit 1) r`,
      [moduleIds],
    );
    return rows;
  }
}
