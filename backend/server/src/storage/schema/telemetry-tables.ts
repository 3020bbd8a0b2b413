import { backupMetrics, circuitMetrics, condenserMetrics, waterMetrics } from '@coldrounds/core/telemetry';

export type TelemetryTableName = 'reading' | 'water_reading' | 'condenser_reading' | 'backup_reading';

export interface TelemetryColumn {
  name: string;
  type: 'real' | 'boolean';
}

/** A column that is the difference of two others of the same row, null while either is missing. */
export interface DifferenceColumn {
  name: string;
  minuend: string;
  subtrahend: string;
}

/** One wide time-series table, keyed by its owner and the time. */
export interface TelemetryTable {
  name: TelemetryTableName;
  owner: 'circuit_id' | 'unit_id' | 'module_id';
  ownerTable: 'circuit' | 'unit' | 'module';
  /** Columns that come with the telemetry, in the order of `SeriesRows.columns`. */
  columns: readonly TelemetryColumn[];
  /** Filled as rows are written, from `columns`. */
  differences: readonly DifferenceColumn[];
}

/** Columns of yes and no. */
export const flagsOf = ({ columns }: TelemetryTable): ReadonlySet<string> =>
  new Set(columns.filter(({ type }) => type === 'boolean').map(({ name }) => name));

const columnsOf = (metrics: readonly { column: string; unit: string }[]): TelemetryColumn[] =>
  metrics.map(({ column, unit }) => ({ name: column, type: unit === 'bool' ? 'boolean' : 'real' }));

/** One row per circuit and time step. The two saturation temperatures are computed once, on the way in. */
export const readingTable: TelemetryTable = {
  name: 'reading',
  owner: 'circuit_id',
  ownerTable: 'circuit',
  columns: [
    ...columnsOf(circuitMetrics),
    { name: 'suction_saturation_k', type: 'real' }, // dew side, at suction pressure
    { name: 'discharge_saturation_k', type: 'real' }, // bubble side, at discharge pressure
  ],
  differences: [
    { name: 'superheat_k', minuend: 'suction_temperature_k', subtrahend: 'suction_saturation_k' },
    { name: 'subcooling_k', minuend: 'discharge_saturation_k', subtrahend: 'liquid_temperature_k' },
  ],
};

export const waterReadingTable: TelemetryTable = {
  name: 'water_reading',
  owner: 'unit_id',
  ownerTable: 'unit',
  columns: columnsOf(waterMetrics),
  differences: [],
};

export const condenserReadingTable: TelemetryTable = {
  name: 'condenser_reading',
  owner: 'unit_id',
  ownerTable: 'unit',
  columns: columnsOf(condenserMetrics),
  differences: [],
};

export const backupReadingTable: TelemetryTable = {
  name: 'backup_reading',
  owner: 'module_id',
  ownerTable: 'module',
  columns: columnsOf(backupMetrics),
  differences: [],
};

export const telemetryTables: readonly TelemetryTable[] = [
  readingTable,
  waterReadingTable,
  condenserReadingTable,
  backupReadingTable,
];
