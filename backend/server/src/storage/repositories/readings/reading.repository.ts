import type { CircuitSeries, ModuleReadings } from '@coldrounds/core';
import type { ColdReader } from '../../cold/cold-reader.js';
import type { Queryable } from '../../connection/database.js';
import { backupReadingTable, readingTable } from '../../schema/telemetry-tables.js';
import { readCircuitSeries } from './circuit-series.js';
import { latestRows } from './latest-samples.js';
import { readSamples, type Stores } from './samples.js';

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

const circuitValues = {
  suctionPressure_Pa: 'suction_pressure_pa',
  suctionTemperature_K: 'suction_temperature_k',
  valveOpening_pct: 'valve_opening_pct',
  valveOpening2_pct: 'valve_opening_2_pct',
  dischargePressure_Pa: 'discharge_pressure_pa',
  dischargeTemperature_K: 'discharge_temperature_k',
  liquidTemperature_K: 'liquid_temperature_k',
  superheatSetpoint_K: 'superheat_setpoint_k',
  compressorLoad_pct: 'compressor_load_pct',
} as const;

const moduleValues = {
  voltage_V: 'voltage_v',
  current_A: 'current_a',
  temperature_K: 'temperature_k',
  mains: 'mains',
  health: 'health',
} as const;

/** Samples as they were sent, wherever they lie. */
export class ReadingRepository {
  private readonly stores: Stores;

  constructor(
    private readonly database: Queryable,
    cold: ColdReader | null = null,
  ) {
    this.stores = { database, cold };
  }

  circuitSeries(circuitId: number, from_s: number, to_s: number): Promise<CircuitSeries> {
    return readCircuitSeries(this.database, circuitId, date(from_s), date(to_s), this.stores.cold);
  }

  async moduleReadings(moduleId: number, from_s: number, to_s: number): Promise<ModuleReadings> {
    const { time_s, columns } = await readSamples(
      this.stores,
      backupReadingTable,
      { sql: '$1', id: moduleId },
      Object.values(moduleValues),
      { from: date(from_s), to: date(to_s) },
    );
    const [voltage_V, current_A, temperature_K, mains, health] = columns;
    return { time_s, voltage_V, current_A, temperature_K, mains, health };
  }

  /** Whether the mains contact of a module that serves the circuit was ever seen gone in the span. */
  async modulesWithoutMains(moduleIds: number[], from_s: number, to_s: number): Promise<number[]> {
    if (moduleIds.length === 0) return [];
    const { rows } = await this.database.query<{ id: number; hot: boolean; cold: boolean }>(
      `select m.id, exists (select from backup_reading
                 where module_id = m.id and time >= $2 and time < $3 and not mains) as hot,
              exists (select from cold_part
                 where table_name = 'backup_reading' and owner_id = m.id and last_at >= $2 and first_at < $3) as cold
         from unnest($1::int[]) as m(id)`,
      [[...new Set(moduleIds)], date(from_s), date(to_s)],
    );
    const without: number[] = [];
    for (const { id, hot, cold } of rows)
      if (hot || (cold && (await this.moduleReadings(id, from_s, to_s)).mains.includes(0))) without.push(id);
    return without;
  }

  async latest(circuitIds: number[], before_s?: number): Promise<LatestReading[]> {
    const rows = await latestRows(this.stores, readingTable, circuitIds, circuitValues, before_s);
    return rows.map(({ ownerId, ...values }) => ({ circuitId: ownerId, ...values }));
  }

  /** When the last reading before a span came, and whether there is any after it. */
  async around(
    circuitId: number,
    from_s: number,
    to_s: number,
  ): Promise<{ before_s: number | null; after: boolean }> {
    const { rows } = await this.database.query<{ before_s: number | null; after: boolean; cold: boolean }>(
      `select (select ${epoch('time')} from reading where circuit_id = $1 and time < $2 order by time desc limit 1) as before_s,
              exists (select from reading where circuit_id = $1 and time >= $3)
                or exists (select from cold_part where table_name = 'reading' and owner_id = $1 and last_at >= $3) as after,
              exists (select from cold_part where table_name = 'reading' and owner_id = $1 and first_at < $2) as cold`,
      [circuitId, date(from_s), date(to_s)],
    );
    const [{ before_s, after, cold }] = rows;
    if (!cold) return { before_s, after };
    // `latest` takes in the moment itself.
    const earlier = await this.newest_s([circuitId], from_s - 1e-6);
    return { before_s: earlier.get(circuitId) ?? null, after };
  }

  /** Newest time of each circuit that has any reading. */
  async newest_s(circuitIds: number[], before_s?: number): Promise<Map<number, number>> {
    const rows = await latestRows(this.stores, readingTable, circuitIds, {}, before_s);
    return new Map(rows.map(({ ownerId, time_s }) => [ownerId, time_s]));
  }

  async latestModules(moduleIds: number[]): Promise<LatestModuleReading[]> {
    const rows = await latestRows(this.stores, backupReadingTable, moduleIds, moduleValues);
    return rows.map(({ ownerId, mains, health, ...values }) => ({
      ...{ moduleId: ownerId, ...values },
      mains: mains === null ? null : mains !== 0,
      health: health === null ? null : health !== 0,
    }));
  }
}
