import { isUtf8 } from 'node:buffer';
import {
  decodePack,
  parseTopic,
  saturationColumn,
  type DecodeLimits,
  type PackRows,
  type Rejection,
  type Stream,
  type Subject,
} from '@coldrounds/core/telemetry';
import { reconverted } from '../registry/facts/reconvert.js';
import type { FactsTimeline } from '../storage/fleet.js';
import type { ClosingRow, IngestBatch } from '../storage/incoming/ingest-batch.js';
import type { TelemetryTableName } from '../storage/schema/telemetry-tables.js';
import type { HeldMessage } from './receiving/acknowledging-client.js';
import type { RelativeTimes } from './relative-times.js';
import type { UnitDirectory } from './unit-directory.js';
import { unreadRow } from './unread-row.js';

export interface ReadLimits {
  /** Largest payload that is looked into, bytes. 10,000 records take about 0.5 MB. */
  maximumPayload: number;
  futureTolerance_s: number;
  oldest_s: number;
}

export const defaultReadLimits: ReadLimits = {
  maximumPayload: 5 * 1024 * 1024,
  futureTolerance_s: 600,
  oldest_s: 0,
};

/** What one message adds to a batch; nothing at all for a retained presence that was cleared. */
export type MessageParts = Partial<IngestBatch>;

/** Reads a message into what is to be stored. Never throws for what a stranger sent: that becomes an unread message. */
export async function readMessage(
  message: HeldMessage,
  directory: UnitDirectory,
  limits: ReadLimits,
  relativeTimes: RelativeTimes,
): Promise<MessageParts> {
  const unread = (rejection: Pick<Rejection, 'reason' | 'detail'>) => unreadRow(message, rejection);
  const address = parseTopic(message.topic);
  if (!address) {
    return {
      unread: [
        unread({ reason: 'unknown-topic', detail: 'The topic does not belong to the telemetry contract.' }),
      ],
    };
  }
  const subject = await directory.find(address);
  if ('unknown' in subject) return { unread: [unread({ reason: subject.unknown, detail: subject.detail })] };
  if (address.stream === 'presence' && message.payload.length === 0) return {};
  if (message.payload.length > limits.maximumPayload) {
    const detail = `The payload has ${message.payload.length} bytes; the limit is ${limits.maximumPayload}.`;
    return { unread: [unread({ reason: 'too-large', detail })] };
  }
  if (!isUtf8(message.payload)) {
    return { unread: [unread({ reason: 'not-text', detail: 'The payload is not UTF-8 text.' })] };
  }
  const decodeLimits: DecodeLimits = {
    now_s: message.receivedAt_ms / 1000,
    futureTolerance_s: limits.futureTolerance_s,
    oldest_s: limits.oldest_s,
  };
  const text = message.payload.toString('utf8');
  let outcome = decodePack(text, subject, decodeLimits);
  const parts: MessageParts = {};
  if (outcome.relative) {
    const { now_ms, keep } = await relativeTimes.resolve(message);
    if (keep) parts.relativePacks = [keep];
    if (now_ms !== message.receivedAt_ms)
      outcome = decodePack(text, subject, { ...decodeLimits, now_s: now_ms / 1000 });
  }
  const { rows, rejection } = outcome;
  const span_s = address.stream === 'closing' ? spanOf_s(rows.time_ms) : 0;
  if (span_s > longestClosing_s) {
    const detail = `The samples of this closing span ${Math.round(span_s / 60)} min; a closing is taken up to ${longestClosing_s / 60} min.`;
    return { ...parts, unread: [unread({ reason: 'closing-too-long', detail })] };
  }
  if (rows.length > 0)
    Object.assign(parts, partsOf(address.stream, subject, rows, directory, message.receivedAt_ms));
  return rejection ? { ...parts, unread: [unread(rejection)] } : parts;
}

const tableOf: Partial<Record<Stream, TelemetryTableName>> = {
  circuits: 'reading',
  water: 'water_reading',
  condenser: 'condenser_reading',
  backup: 'backup_reading',
};

/** No valve takes longer to shut; a pack whose samples lie further apart holds a wrong time. Judgement, no source. */
const longestClosing_s = 3600;

function spanOf_s(time_ms: Float64Array): number {
  let first = Infinity;
  let last = -Infinity;
  for (const time of time_ms) {
    first = Math.min(first, time);
    last = Math.max(last, time);
  }
  return last > first ? (last - first) / 1000 : 0;
}

/** Time steps of a subject as what is to be stored, and counted of how its telemetry comes. */
export function partsOf(
  stream: Stream,
  subject: Subject,
  rows: PackRows,
  directory: UnitDirectory,
  receivedAt_ms: number,
): MessageParts {
  const table = tableOf[stream];
  const unitId = directory.unitIdOf(subject);
  const parts = storedOf(stream, subject, rows, directory);
  // Presence and closings say nothing of how samples come.
  if (table !== undefined && unitId !== undefined)
    parts.deliveries = [{ unitId, table, ownerId: subject.id, receivedAt_ms, time_ms: rows.time_ms }];
  return parts;
}

function storedOf(stream: Stream, subject: Subject, rows: PackRows, directory: UnitDirectory): MessageParts {
  const ownerId = subject.id;
  switch (stream) {
    case 'circuits':
      return {
        readings: [{ ownerId, ...rows, columns: circuitColumns(subject, rows, directory) }],
      };
    case 'water':
      return { waterReadings: [{ ownerId, ...rows }] };
    case 'condenser':
      return { condenserReadings: [{ ownerId, ...rows }] };
    case 'backup':
      return { backupReadings: [{ ownerId, ...rows }] };
    case 'closing':
      return { closings: [closingOf(ownerId, rows)] };
    case 'presence':
      return {
        presences: Array.from(rows.time_ms, (since_ms, i) => ({
          unitId: ownerId,
          online: rows.columns[0][i] === 1,
          since_ms,
        })),
      };
  }
}

/** Absolute pressures and saturation temperatures by what the registry says of the time of each sample. */
function circuitColumns(subject: Subject, rows: PackRows, directory: UnitDirectory): Float64Array[] {
  const timeline = directory.timelineOf(subject.id);
  return timeline === undefined
    ? [...rows.columns, ...saturations(subject, rows)]
    : byTheTimes(subject, rows, timeline, directory.factsNow(subject.id)!);
}

function byTheTimes(
  { gates }: Subject,
  rows: PackRows,
  timeline: FactsTimeline,
  now: FactsTimeline,
): Float64Array[] {
  const place = (name: string) => gates.findIndex((gate) => gate.metric.name === name);
  const [suction, discharge] = [place('suction-pressure'), place('discharge-pressure')];
  const time_s = rows.time_ms.map((time_ms) => time_ms / 1000);
  const converted = reconverted(time_s, rows.columns[suction], rows.columns[discharge], now, timeline);
  const columns = [...rows.columns, converted.suctionSaturation_K, converted.dischargeSaturation_K];
  columns[suction] = converted.suctionPressure_Pa;
  columns[discharge] = converted.dischargePressure_Pa;
  return columns;
}

function saturations({ refrigerant, gates }: Subject, rows: PackRows): Float64Array[] {
  const missing = () => new Float64Array(rows.length).fill(NaN);
  if (refrigerant === null) return [missing(), missing()];
  const column = (name: string) => rows.columns[gates.findIndex((gate) => gate.metric.name === name)];
  return [
    saturationColumn(refrigerant, column('suction-pressure'), 'dew'),
    saturationColumn(refrigerant, column('discharge-pressure'), 'bubble'),
  ];
}

/** A pack on the closing topic is one closing; its first sample is when it began. */
function closingOf(moduleId: number, rows: PackRows): ClosingRow {
  const order = Array.from(rows.time_ms, (_, i) => i).sort((a, b) => rows.time_ms[a] - rows.time_ms[b]);
  const sorted = (values: Float64Array) => Float64Array.from(order, (i) => values[i]);
  const time_ms = sorted(rows.time_ms);
  const [voltage_V, current_A, valveOpening_pct] = rows.columns.map(sorted);
  return {
    moduleId,
    startedAt_ms: time_ms[0],
    time_s: time_ms.map((time) => (time - time_ms[0]) / 1000),
    voltage_V,
    current_A,
    valveOpening_pct,
  };
}
