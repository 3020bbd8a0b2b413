import { isUtf8 } from 'node:buffer';
import {
  unsigned64,
  type PayloadMetric,
  type RawValue,
  type SparkplugPayload,
} from '@coldrounds/core/sparkplug';
import protobuf from 'protobufjs/minimal.js';

/** The bytes are no Sparkplug B payload, or one that is not read; `message` is a sentence. */
export class SparkplugPayloadError extends Error {
  override name = 'SparkplugPayloadError';
  constructor(
    readonly reason: 'not-sparkplug' | 'too-large',
    message: string,
  ) {
    super(message);
  }
}

/** Metrics of one payload that are read. A birth of a large gateway has some thousand. */
export const mostMetrics = 20_000;

type Reader = protobuf.Reader;
/** Wire types of Protocol Buffers. */
const varint = 0;
const fixed64 = 1;
const lengthDelimited = 2;
const fixed32 = 5;

/**
 * Reads a payload by the schema of Sparkplug 3.0, section 6.4.1, with a reader of its own: the fields that are used and
 * no others, so that nothing that is nested deeply, or is repeated without end, is ever built.
 *
 * @throws SparkplugPayloadError
 */
export function decodeSparkplug(bytes: Uint8Array): SparkplugPayload {
  try {
    return readPayload(protobuf.Reader.create(bytes));
  } catch (error) {
    if (error instanceof SparkplugPayloadError) throw error;
    throw new SparkplugPayloadError(
      'not-sparkplug',
      `The payload is not Sparkplug B: ${plain((error as Error).message)}.`,
    );
  }
}

/** The library names positions and types in its own words. */
const plain = (message: string): string =>
  /index out of range/.test(message)
    ? 'it ends in the middle of a field'
    : /invalid wire type|varint/.test(message)
      ? 'it is not encoded as Protocol Buffers'
      : /call stack/.test(message)
        ? 'it is nested too deeply'
        : message;

/** Calls `take` for each field until the end; what `take` does not know is skipped. */
function eachField(reader: Reader, end: number, take: (field: number, wire: number) => boolean): void {
  if (end > reader.len) throw new RangeError('index out of range');
  while (reader.pos < end) {
    const tag = reader.uint32();
    if (!take(tag >>> 3, tag & 7)) reader.skipType(tag & 7);
  }
  if (reader.pos > end) throw new RangeError('index out of range');
}

const endOf = (reader: Reader): number => {
  const length = reader.uint32();
  return reader.pos + length;
};

function readPayload(reader: Reader): SparkplugPayload {
  const payload: SparkplugPayload = { time_ms: null, metrics: [], seq: null };
  eachField(reader, reader.len, (field, wire) => {
    if (field === 1 && wire === varint) payload.time_ms = number64(reader);
    else if (field === 3 && wire === varint) payload.seq = number64(reader);
    else if (field === 2 && wire === lengthDelimited) {
      if (payload.metrics.length === mostMetrics)
        throw new SparkplugPayloadError('too-large', `The payload has more than ${mostMetrics} metrics.`);
      payload.metrics.push(readMetric(reader, endOf(reader)));
    } else if (field === 4 && wire === lengthDelimited) {
      if (/COMPRESSED/i.test(text(reader)))
        throw new SparkplugPayloadError(
          'not-sparkplug',
          'The payload is compressed, which the standard does not know: switch compression off at the gateway.',
        );
    } else return false;
    return true;
  });
  return payload;
}

function readMetric(reader: Reader, end: number): PayloadMetric {
  const metric: PayloadMetric = {
    ...{ name: null, alias: null, time_ms: null, datatype: null, historical: false, isNull: false },
    ...{ value: null, quality: null, unit: null },
  };
  eachField(reader, end, (field, wire) => {
    if (field === 1 && wire === lengthDelimited) metric.name = text(reader);
    else if (field === 2 && wire === varint) metric.alias = aliasOf(reader);
    else if (field === 3 && wire === varint) metric.time_ms = number64(reader);
    else if (field === 4 && wire === varint) metric.datatype = reader.uint32();
    else if (field === 5 && wire === varint) metric.historical = reader.bool();
    else if (field === 7 && wire === varint) metric.isNull = reader.bool();
    else if (field === 9 && wire === lengthDelimited) readProperties(reader, endOf(reader), metric);
    else {
      const value = readValue(reader, field, wire);
      if (value === null) return false;
      metric.value = value;
    }
    return true;
  });
  return metric;
}

/** Null where the field is no value, or one that its wire type cannot carry: then nothing of it was read. */
function readValue(reader: Reader, field: number, wire: number): RawValue | null {
  if (field === 10 && wire === varint) return { field: 'int', value: reader.uint32() };
  if (field === 11 && wire === varint) return { field: 'long', ...halves(reader) };
  if (field === 12 && wire === fixed32) return { field: 'float', value: reader.float() };
  if (field === 13 && wire === fixed64) return { field: 'double', value: reader.double() };
  if (field === 14 && wire === varint) return { field: 'boolean', value: reader.bool() };
  if (field === 15 && wire === lengthDelimited) return { field: 'string', value: text(reader) };
  if (field < 16 || field > 19 || wire !== lengthDelimited) return null;
  reader.skip(reader.uint32());
  return { field: 'other' };
}

const unitProperty = /^(eng(ineering)?[ _]?)?units?$/i;

/** Keys and values in the same order; only the quality and the unit are looked for. */
function readProperties(reader: Reader, end: number, metric: PayloadMetric): void {
  let keys = 0;
  let values = 0;
  const wanted = new Map<number, 'quality' | 'unit'>();
  const found: (number | string | null)[] = [];
  eachField(reader, end, (field, wire) => {
    if (wire !== lengthDelimited || field > 2) return false;
    if (field === 1) {
      const key = text(reader);
      if (key === 'Quality') wanted.set(keys, 'quality');
      else if (unitProperty.test(key)) wanted.set(keys, 'unit');
      keys += 1;
    } else {
      const value = readProperty(reader, endOf(reader));
      // Keys come before values, or turn by turn; the first few are all that is ever used.
      if (values < 64) found[values] = value;
      values += 1;
    }
    return true;
  });
  for (const [place, what] of wanted) {
    const value = found[place];
    if (what === 'quality' && typeof value === 'number') metric.quality = value;
    if (what === 'unit' && typeof value === 'string') metric.unit = value.slice(0, 30);
  }
}

function readProperty(reader: Reader, end: number): number | string | null {
  let value: number | string | null = null;
  eachField(reader, end, (field, wire) => {
    if (field === 3 && wire === varint) value = reader.uint32();
    else if (field === 4 && wire === varint) value = number64(reader);
    else if (field === 8 && wire === lengthDelimited) value = text(reader);
    else return false;
    return true;
  });
  return value;
}

/** Names are UTF-8 (tck-id-intro-edge-node-id-string and, for metrics, the schema's `string`). */
function text(reader: Reader): string {
  const bytes = reader.bytes();
  if (!isUtf8(bytes)) throw new SparkplugPayloadError('not-sparkplug', 'A text in the payload is not UTF-8.');
  return Buffer.from(bytes.buffer, bytes.byteOffset, bytes.byteLength).toString('utf8');
}

function halves(reader: Reader): { low: number; high: number } {
  const read = reader.uint64() as { low: number; high: number } | number;
  if (typeof read === 'number') return { low: read % 2 ** 32, high: Math.floor(read / 2 ** 32) };
  return { low: read.low >>> 0, high: read.high >>> 0 };
}

function number64(reader: Reader): number {
  const { low, high } = halves(reader);
  return unsigned64(low, high);
}

function aliasOf(reader: Reader): number | string {
  const { low, high } = halves(reader);
  const value = unsigned64(low, high);
  return Number.isSafeInteger(value) ? value : `${high}:${low}`;
}

/**
 * The one command that a reader sends: `Node Control/Rebirth` (tck-id-operational-behavior-data-commands-ncmd-rebirth-name
 * and -value; no sequence number by tck-id-payloads-ncmd-seq).
 */
export function encodeRebirth(time_ms: number): Uint8Array {
  const writer = protobuf.Writer.create();
  writer.uint32((1 << 3) | varint).uint64(time_ms);
  writer.uint32((2 << 3) | lengthDelimited).fork();
  writer.uint32((1 << 3) | lengthDelimited).string('Node Control/Rebirth');
  writer.uint32((3 << 3) | varint).uint64(time_ms);
  writer.uint32((4 << 3) | varint).uint32(11);
  writer.uint32((14 << 3) | varint).bool(true);
  return writer.ldelim().finish();
}
