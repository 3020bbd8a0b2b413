import {
  circuitMetrics,
  condenserMetrics,
  doubtfulUnits,
  readLogColumns,
  saturationColumn,
  standardAtmospherePressure_Pa,
  waterMetrics,
  type CircuitSeries,
  type MetricDefinition,
} from '@coldrounds/core';
import type { FleetService } from '../../registry/fleet.service.js';
import { emptyBatch, IngestRepository, type Database } from '../../storage/index.js';
import { CommandError } from './command-error.js';
import { readLogFile, type LogFileOptions } from './log-file.js';

export interface ImportOptions extends LogFileOptions {
  site: string;
  unit: string;
  circuit: number;
  refrigerant?: string;
}

type Columns = Record<string, Float64Array | undefined>;

const circuitColumns = (series: CircuitSeries): Columns => ({
  'suction-pressure': series.suctionPressure_Pa,
  'suction-temperature': series.suctionTemperature_K,
  'valve-opening': series.valveOpening_pct,
  'discharge-pressure': series.dischargePressure_Pa,
  'discharge-temperature': series.dischargeTemperature_K,
  'liquid-temperature': series.liquidTemperature_K,
  'superheat-setpoint': series.superheatSetpoint_K,
  'compressor-load': series.compressorLoad_pct,
  'compressor-power': series.compressorPower_W,
});
const waterColumns = (series: CircuitSeries): Columns => ({
  'entering-temperature': series.enteringWaterTemperature_K,
  'leaving-temperature': series.leavingWaterTemperature_K,
  flow: series.waterFlow_m3_s,
  'ambient-temperature': series.ambientTemperature_K,
});
const condenserColumns = (series: CircuitSeries): Columns => ({
  'entering-temperature': series.condenserEnteringTemperature_K,
  'leaving-temperature': series.condenserLeavingTemperature_K,
  flow: series.condenserFlow_m3_s,
  'fan-speed': series.condenserFanSpeed_pct,
});

/** Stores what a log holds of one circuit and of its unit's water and condenser, as if it had come as telemetry. */
export async function importLog(
  registry: FleetService,
  database: Database,
  path: string,
  options: ImportOptions,
): Promise<{ said: string; warnings: string[] }> {
  const { table, reading } = await readLogFile(path, options);
  const { unit, circuit } = await registry.circuit(options);
  if (options.refrigerant !== undefined && options.refrigerant !== unit.refrigerant)
    throw new CommandError(
      `The registry says that this unit holds ${unit.refrigerant}, not ${options.refrigerant}. Correct whichever is wrong first.`,
    );
  const atmosphere_Pa = standardAtmospherePressure_Pa(unit.site.altitude_m);
  const { series, read, warnings } = readLogColumns(table, atmosphere_Pa, reading);
  if (series.time_s.length > 0 && series.time_s[0] < 946_684_800)
    throw new CommandError(
      'The times of this log are not calendar times. Add a column `time` with ISO times.',
    );
  const gated = new Map<string, number>();
  const rowsOf = (ownerId: number, metrics: readonly MetricDefinition[], columns: Columns, side: string) => ({
    ownerId,
    length: series.time_s.length,
    time_ms: series.time_s.map((time_s) => Math.round(time_s * 1000)),
    columns: metrics.map((metric) =>
      inRange(metric, columns[metric.name], series.time_s.length, side, gated),
    ),
  });
  const readings = rowsOf(circuit.id, circuitMetrics, circuitColumns(series), '');
  readings.columns.push(
    saturationColumn(unit.refrigerant, series.suctionPressure_Pa, 'dew'),
    saturationColumn(unit.refrigerant, series.dischargePressure_Pa, 'bubble'),
  );
  const water = rowsOf(unit.id, waterMetrics, waterColumns(series), 'water ');
  const condenser = rowsOf(unit.id, condenserMetrics, condenserColumns(series), 'condenser ');
  const holds = ({ columns }: typeof water) => columns.some((column) => column.some(Number.isFinite));
  // In one transaction, so that no window is judged without the water that belongs to it.
  const batch = {
    ...emptyBatch(),
    readings: [readings],
    waterReadings: holds(water) ? [water] : [],
    condenserReadings: holds(condenser) ? [condenser] : [],
  };
  const { rows: stored } = await new IngestRepository(database.pool).write(batch);
  const tables = 1 + batch.waterReadings.length + batch.condenserReadings.length;
  return {
    said: `${stored} of ${readings.length * tables} rows are new (${read.map(({ name }) => name).join(', ')}). The server judges the windows they belong to next.`,
    warnings: [
      ...warnings,
      ...[...gated].map(
        ([name, count]) =>
          `${count === 1 ? '1 value of' : `${count} values of`} ${name} ${count === 1 ? 'is' : 'are'} out of range and not stored.`,
      ),
      ...doubtfulUnits(series, unit.refrigerant, atmosphere_Pa),
    ],
  };
}

function inRange(
  { name, minimum, maximum }: MetricDefinition,
  column: Float64Array | undefined,
  length: number,
  side: string,
  gated: Map<string, number>,
): Float64Array {
  if (column === undefined) return new Float64Array(length).fill(NaN);
  return column.map((value) => {
    if (value >= minimum && value <= maximum) return value;
    if (Number.isFinite(value)) gated.set(`${side}${name}`, (gated.get(`${side}${name}`) ?? 0) + 1);
    return NaN;
  });
}
