import { partsSql } from '../../cold/cold-manifest.js';
import type { ColdReader } from '../../cold/cold-reader.js';
import type { Queryable } from '../../connection/database.js';
import { rollup_s, rollupRows } from '../../schema/rollups.js';
import { readingTable, telemetryTables, type TelemetryTable } from '../../schema/telemetry-tables.js';
import { binned, counted, type Aggregate } from './binned.js';
import { decodeFloats } from './float-arrays.js';
import { readSamples } from './samples.js';

/** Bins of one width, as columns; NaN where nothing was sent. */
export interface Bins {
  time_s: Float64Array;
  [column: string]: Float64Array;
}

interface Source {
  table: string;
  owner: string;
  /** Name of a column of the answer: how it is made, and of which column. */
  columns: Record<string, [Aggregate, string]>;
}

const readings: Source = {
  table: 'reading',
  owner: 'circuit_id',
  columns: {
    superheat: ['avg', 'superheat_k'],
    superheatMinimum: ['min', 'superheat_k'],
    superheatMaximum: ['max', 'superheat_k'],
    setpoint: ['avg', 'superheat_setpoint_k'],
    opening: ['avg', 'valve_opening_pct'],
    openingMinimum: ['min', 'valve_opening_pct'],
    openingMaximum: ['max', 'valve_opening_pct'],
    suctionPressure: ['avg', 'suction_pressure_pa'],
    suctionTemperature: ['avg', 'suction_temperature_k'],
    dischargePressure: ['avg', 'discharge_pressure_pa'],
    dischargeTemperature: ['avg', 'discharge_temperature_k'],
    liquidTemperature: ['avg', 'liquid_temperature_k'],
    subcooling: ['avg', 'subcooling_k'],
    load: ['avg', 'compressor_load_pct'],
  },
};

/** As few columns as valves are asked by: reading them costs half of what all cost. */
const samples: Source = {
  table: 'reading',
  owner: 'circuit_id',
  columns: {
    opening: ['avg', 'valve_opening_pct'],
    suctionPressure: ['avg', 'suction_pressure_pa'],
    suctionTemperature: ['avg', 'suction_temperature_k'],
  },
};

const rollups: Source = {
  table: rollupRows,
  owner: 'circuit_id',
  columns: {
    superheat: ['avg', 'superheat_mean_k'],
    superheatMinimum: ['min', 'superheat_min_k'],
    superheatMaximum: ['max', 'superheat_max_k'],
    setpoint: ['avg', 'superheat_setpoint_mean_k'],
    opening: ['avg', 'valve_opening_mean_pct'],
    openingMinimum: ['min', 'valve_opening_min_pct'],
    openingMaximum: ['max', 'valve_opening_max_pct'],
    suctionPressure: ['avg', 'suction_pressure_mean_pa'],
    suctionTemperature: ['avg', 'suction_temperature_mean_k'],
    dischargePressure: ['avg', 'discharge_pressure_mean_pa'],
    dischargeTemperature: ['avg', 'discharge_temperature_mean_k'],
    liquidTemperature: ['avg', 'liquid_temperature_mean_k'],
    subcooling: ['avg', 'subcooling_mean_k'],
    load: ['avg', 'compressor_load_mean_pct'],
  },
};

const water: Source = {
  table: 'water_reading',
  owner: 'unit_id',
  columns: {
    entering: ['avg', 'entering_temperature_k'],
    leaving: ['avg', 'leaving_temperature_k'],
    flow: ['avg', 'flow_m3_s'],
    ambient: ['avg', 'ambient_temperature_k'],
  },
};

const backup: Source = {
  table: 'backup_reading',
  owner: 'module_id',
  columns: {
    voltage: ['avg', 'voltage_v'],
    current: ['avg', 'current_a'],
    temperature: ['avg', 'temperature_k'],
    mains: ['min', 'mains::int'],
    health: ['min', 'health::int'],
  },
};

export type SeriesSource = 'readings' | 'samples' | 'rollups' | 'water' | 'backup';
const sources: Record<SeriesSource, Source> = { readings, samples, rollups, water, backup };

const telemetryTable = (name: string): TelemetryTable | undefined =>
  telemetryTables.find((table) => table.name === name);

/** Telemetry put into bins by the database, for charts; here where a part of it lies in the cold store. */
export class SeriesRepository {
  constructor(
    private readonly database: Queryable,
    private readonly cold: ColdReader | null = null,
  ) {}

  async bins(
    name: SeriesSource,
    ownerId: number,
    from_s: number,
    to_s: number,
    width_s: number,
  ): Promise<Bins> {
    const { table, owner, columns } = sources[name];
    const names = Object.keys(columns);
    const { rows } = await this.database.query<Record<string, Buffer | null>>(
      `select array_send(array_agg(bin)) as time, ${names
        .map((column) => `array_send(array_agg("${column}"::real)) as "${column}"`)
        .join(', ')}
         from (select floor(extract(epoch from time)::float8 / $4) * $4 as bin, ${names
           .map((column) => `${columns[column][0]}(${columns[column][1]}) as "${column}"`)
           .join(', ')}
                 from ${table} where ${owner} = $1 and time >= to_timestamp($2) and time < to_timestamp($3)
                group by 1 order by 1) as binned`,
      [ownerId, from_s, to_s, width_s],
    );
    const stored = telemetryTable(table);
    if (stored !== undefined && (await this.liesInCold(stored, ownerId, from_s, to_s)))
      return this.binnedHere(stored, columns, ownerId, from_s, to_s, width_s);
    const bins: Bins = { time_s: decodeFloats(rows[0].time) };
    for (const column of names) bins[column] = decodeFloats(rows[0][column]);
    return bins;
  }

  /** How many readings of a circuit came in each bin: `column` counts those that hold a value of it, else all. */
  async counts(
    circuitId: number,
    column: 'suction_pressure_pa' | 'suction_temperature_k' | null,
    from_s: number,
    to_s: number,
    width_s: number,
  ): Promise<{ time_s: number[]; count: number[] }> {
    const { rows } = await this.database.query<{ bin: number; n: number }>(
      `select floor(extract(epoch from time)::float8 / $4) * $4 as bin, count(${column ?? '*'})::int as n
         from reading where circuit_id = $1 and time >= to_timestamp($2) and time < to_timestamp($3)
        group by 1 having count(${column ?? '*'}) > 0 order by 1`,
      [circuitId, from_s, to_s, width_s],
    );
    if (await this.liesInCold(readingTable, circuitId, from_s, to_s))
      return counted(
        await this.samples(readingTable, circuitId, column === null ? [] : [column], from_s, to_s),
        width_s,
      );
    return { time_s: rows.map(({ bin }) => bin), count: rows.map(({ n }) => n) };
  }

  private async binnedHere(
    table: TelemetryTable,
    columns: Source['columns'],
    ownerId: number,
    from_s: number,
    to_s: number,
    width_s: number,
  ): Promise<Bins> {
    const made = Object.values(columns);
    const samples = await this.samples(
      ...([table, ownerId, made.map(([, column]) => column.replace('::int', '')), from_s, to_s] as const),
    );
    const bins = binned(
      samples,
      made.map(([aggregate]) => aggregate),
      width_s,
    );
    return Object.assign(
      { time_s: bins.time_s },
      Object.fromEntries(Object.keys(columns).map((name, at) => [name, bins.columns[at]])),
    );
  }

  /** Asked after PostgreSQL was read: what was moved before that is there, and what is moved later was read. */
  private async liesInCold(table: TelemetryTable, ownerId: number, from_s: number, to_s: number) {
    if (this.cold === null) return false;
    const { rows } = await this.database.query<{ parts: unknown }>(
      `select ${partsSql(table.name, '$1', 'to_timestamp($2)', 'to_timestamp($3)')} as parts`,
      [ownerId, from_s, to_s],
    );
    return rows[0].parts !== null;
  }

  private samples(
    table: TelemetryTable,
    ownerId: number,
    columns: readonly string[],
    from_s: number,
    to_s: number,
  ) {
    return readSamples(
      ...([
        { database: this.database, cold: this.cold },
        table,
        { sql: '$1', id: ownerId },
        columns,
      ] as const),
      { from: new Date(from_s * 1000), to: new Date(to_s * 1000) },
    );
  }

  /** End of the newest rollup of a circuit: what is newer must be read from the samples. */
  async rolledUpTo_s(circuitId: number): Promise<number | null> {
    const { rows } = await this.database.query<{ newest_s: number | null }>(
      `select extract(epoch from window_start)::float8 + ${rollup_s} * ((
                select max(place) from unnest(samples) with ordinality as s(n, place) where n is not null) - 1) as newest_s
         from rollup_window where circuit_id = $1 order by window_start desc limit 1`,
      [circuitId],
    );
    return rows[0]?.newest_s ?? null;
  }
}
