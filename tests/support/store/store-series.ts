import { saturationColumn, type CircuitSeries } from '@coldrounds/core';
import { type Database, emptyBatch, IngestRepository } from '../../../backend/server/src/storage/index.js';
import {
  readingTable,
  waterReadingTable,
} from '../../../backend/server/src/storage/schema/telemetry-tables.js';

const bare = (name: string) => name.toLowerCase().replaceAll('_', '');
/** Columns of the store whose names differ from the series'. */
const renamed: Record<string, string> = {
  enteringtemperaturek: 'enteringwatertemperaturek',
  leavingtemperaturek: 'leavingwatertemperaturek',
  flowm3s: 'waterflowm3s',
};

/** Stores a circuit's series and, with it, the water side of its unit. */
export async function storeSeries(
  database: Database,
  ids: { circuitId: number; unitId: number },
  refrigerant: string,
  series: CircuitSeries,
  withWater = true,
): Promise<void> {
  const byName = new Map(
    Object.entries(series).map(([name, values]) => [bare(name), values as Float64Array]),
  );
  const length = series.time_s.length;
  const time_ms = series.time_s.map((time_s) => Math.round(time_s * 1000));
  const columnsOf = (columns: readonly { name: string }[]) =>
    columns.map(({ name }) => {
      if (name === 'suction_saturation_k')
        return saturationColumn(refrigerant, series.suctionPressure_Pa, 'dew');
      if (name === 'discharge_saturation_k')
        return saturationColumn(refrigerant, series.dischargePressure_Pa, 'bubble');
      return byName.get(renamed[bare(name)] ?? bare(name)) ?? new Float64Array(length).fill(NaN);
    });
  await new IngestRepository(database.pool).write({
    ...emptyBatch(),
    readings: [{ ownerId: ids.circuitId, length, time_ms, columns: columnsOf(readingTable.columns) }],
    waterReadings: withWater
      ? [{ ownerId: ids.unitId, length, time_ms, columns: columnsOf(waterReadingTable.columns) }]
      : [],
  });
}
