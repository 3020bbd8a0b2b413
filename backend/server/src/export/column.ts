/** How values of a column are kept: `real` has 7 digits, `double` 16; `time` is an instant in UTC; `text` may be a word of a list. */
export type ColumnType = 'text' | 'time' | 'real' | 'double' | 'integer' | 'flag';

/** A column of an exported table, as files and the data dictionary describe it. */
export interface Column {
  name: string;
  type: ColumnType;
  /** SI, as SenML writes it where it has the unit (RFC 8428); left out: the value has none. */
  unit?: string;
  meaning: string;
  /** Every row has it. */
  required?: true;
}

/**
 * Values of one column in a batch. Of `time` seconds since 1970 in UTC; of `real` NaN where the value is missing, of the others null.
 * A value that all rows share is given once.
 */
export type Values =
  | { constant: string | number }
  | { reals: Float32Array }
  | { times_s: Float64Array }
  | { values: readonly (string | number | boolean | null)[] };

/** Some rows of a table, by columns, in the order of its columns. */
export interface Batch {
  rows: number;
  columns: Values[];
}
