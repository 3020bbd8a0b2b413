/** A value as it stands in the payload, by the field of the `oneof` that carries it (Sparkplug 3.0, section 6.4.1). */
export type RawValue =
  | { field: 'int'; value: number }
  /** Both halves of 64 bits, each unsigned. */
  | { field: 'long'; low: number; high: number }
  | { field: 'float' | 'double'; value: number }
  | { field: 'boolean'; value: boolean }
  | { field: 'string'; value: string }
  /** Bytes, data sets, templates, extensions: nothing that one quantity could be read from. */
  | { field: 'other' };

export interface PayloadMetric {
  name: string | null;
  /** As a number where it is a safe one, else as text. */
  alias: number | string | null;
  time_ms: number | null;
  datatype: number | null;
  historical: boolean;
  isNull: boolean;
  value: RawValue | null;
  /** Property `Quality`; null: not said, which means good. */
  quality: number | null;
  /** Property that names the unit of the value, as many gateways send it. */
  unit: string | null;
}

export interface SparkplugPayload {
  time_ms: number | null;
  metrics: PayloadMetric[];
  seq: number | null;
}

/** A `uint64` as a number: exact below 2^53. */
export const unsigned64 = (low: number, high: number): number => (high >>> 0) * 2 ** 32 + (low >>> 0);
/** Two's complement of 64 bits as a number: exact within ±2^53. */
export const signed64 = (low: number, high: number): number => (high | 0) * 2 ** 32 + (low >>> 0);
