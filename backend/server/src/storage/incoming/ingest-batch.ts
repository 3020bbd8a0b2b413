import type { BornMetric } from '@coldrounds/core/sparkplug';
import type { TelemetryTableName } from '../schema/telemetry-tables.js';
import type { SeriesRows } from './series-rows.js';

export interface ClosingRow {
  moduleId: number;
  startedAt_ms: number;
  /** From `startedAt_ms`, rising. */
  time_s: Float64Array;
  voltage_V: Float64Array;
  current_A: Float64Array;
  valveOpening_pct: Float64Array;
}

export interface PresenceRow {
  unitId: number;
  online: boolean;
  since_ms: number;
}

export interface UnreadRow {
  topic: string;
  payload: Buffer;
  reason: string;
  detail: string;
  receivedAt_ms: number;
  /** The broker's own mark of the delivery; null where it has none. */
  delivery: string | null;
  /** The broker may be sending it again, not knowing that it was taken: the same delivery is then kept once. */
  redelivered: boolean;
  /** When the connection began that brought it: a redelivery was first received before that. */
  connectedAt_ms: number;
  /** Whose quota it counts against, as `site/unit`, where its topic does not say; left out: by the topic. */
  source?: string;
}

/** What one message tells of a Sparkplug edge node, or of a device of it. */
export interface SparkplugHeardRow {
  group: string;
  edge: string;
  /** '' for the edge node itself. */
  device: string;
  at_ms: number;
  event: 'birth' | 'death' | 'data' | 'none';
  /** Of a birth: all that it announces. */
  born: BornMetric[] | null;
  /** Times that its births were asked for since the last message. */
  rebirths: number;
}

/** From which moment the relative times of a delivered pack were counted. */
export interface RelativePackRow {
  delivery: string;
  digest: Buffer;
  resolved_ms: number;
}

/** One message with samples as it arrived, for the counts of how telemetry comes. */
export interface DeliveryRow {
  unitId: number;
  table: TelemetryTableName;
  /** Of the rows that it brought. */
  ownerId: number;
  receivedAt_ms: number;
  time_ms: Float64Array;
}

/** What is written in one transaction. */
export interface IngestBatch {
  readings: SeriesRows[];
  waterReadings: SeriesRows[];
  condenserReadings: SeriesRows[];
  backupReadings: SeriesRows[];
  closings: ClosingRow[];
  presences: PresenceRow[];
  unread: UnreadRow[];
  relativePacks: RelativePackRow[];
  sparkplugHeard: SparkplugHeardRow[];
  deliveries: DeliveryRow[];
}

export const emptyBatch = (): IngestBatch => ({
  readings: [],
  waterReadings: [],
  condenserReadings: [],
  backupReadings: [],
  closings: [],
  presences: [],
  unread: [],
  relativePacks: [],
  sparkplugHeard: [],
  deliveries: [],
});

/** What a committed batch changed. Repeats are not among it. */
export interface CommitSummary {
  /** Rows new or filled up, over all tables. */
  rows: number;
  /** Windows touched, as `circuitId` and start in ms. */
  windows: { circuitId: number; windowStart_ms: number }[];
  moduleIds: number[];
  /** Units whose water or condenser side got new rows. */
  waterUnitIds: number[];
  closings: { moduleId: number; startedAt_ms: number }[];
  presences: PresenceRow[];
  unread: number;
}
