import type { TelemetryColumn, TelemetryTable, TelemetryTableName } from '../schema/telemetry-tables.js';

/** Folder of each table's files, named as the table of the same rows in exports. */
const folders: Record<TelemetryTableName, string> = {
  reading: 'readings',
  water_reading: 'water-readings',
  condenser_reading: 'condenser-readings',
  backup_reading: 'module-readings',
};

/** Column that numbers an owner within its unit. */
const numbers = { circuit: 'circuit', module: 'module', unit: null } as const;

export const numberColumn = ({ ownerTable }: TelemetryTable): 'circuit' | 'module' | null =>
  numbers[ownerTable];

/** Columns of a file after site, unit, number, owner and time. */
export const storedColumns = ({ columns, differences }: TelemetryTable): TelemetryColumn[] => [
  ...columns,
  ...differences.map(({ name }) => ({ name, type: 'real' as const })),
];

/** `readings/2026-10/harbour.parquet`, and `harbour.2.parquet` for the second file of that month; `month` is its first day. */
export const coldFileName = (
  table: TelemetryTableName,
  month: string,
  siteKey: string,
  number: number,
): string =>
  `${folders[table]}/${month.slice(0, 7)}/${encodeURIComponent(siteKey)}${number === 1 ? '' : `.${number}`}.parquet`;

/** Until a file is settled it has a name that no pattern for `*.parquet` meets. */
const unfinished = '.unfinished';
export const unfinishedName = (name: string, fileId: number): string => `${name}.${fileId}${unfinished}`;
export const isUnfinished = (name: string): boolean => name.endsWith(unfinished);
