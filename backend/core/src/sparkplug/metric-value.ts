import { signed64, unsigned64, type RawValue } from './payload.js';

/** Data types by their number (Sparkplug 3.0, section 6.4.16). */
export const dataTypeNames = [
  ...['Unknown', 'Int8', 'Int16', 'Int32', 'Int64', 'UInt8', 'UInt16', 'UInt32', 'UInt64', 'Float', 'Double'],
  ...['Boolean', 'String', 'DateTime', 'Text', 'UUID', 'DataSet', 'Bytes', 'File', 'Template'],
] as const;
export type DataTypeName = (typeof dataTypeNames)[number];

export const dataTypeName = (datatype: number | null): string =>
  datatype === null ? 'Unknown' : (dataTypeNames[datatype] ?? `type ${datatype}`);

const integers: Record<number, { bits: 8 | 16 | 32 | 64; signed: boolean }> = {
  1: { bits: 8, signed: true },
  2: { bits: 16, signed: true },
  3: { bits: 32, signed: true },
  4: { bits: 64, signed: true },
  5: { bits: 8, signed: false },
  6: { bits: 16, signed: false },
  7: { bits: 32, signed: false },
  8: { bits: 64, signed: false },
};

/**
 * The number that a metric carries by the data type of its birth; true and false are 1 and 0. Null where it carries none
 * or one that its type cannot hold.
 *
 * Signed integers travel as unsigned ones in two's complement. Senders fill an Int8 of -1 up to 8 or to 32 bits, and put
 * 32 bits into either integer field: all of these are read.
 *
 * @example numberOf({ field: 'int', value: 4294967295 }, 3) // Int32: -1
 */
export function numberOf(raw: RawValue, datatype: number | null): number | null {
  if (datatype === 11) {
    if (raw.field === 'boolean') return raw.value ? 1 : 0;
    return raw.field === 'int' && raw.value <= 1 ? raw.value : null;
  }
  if (datatype === 9 || datatype === 10)
    return (raw.field === 'float' || raw.field === 'double') && Number.isFinite(raw.value) ? raw.value : null;
  const integer = datatype === null ? undefined : integers[datatype];
  if (integer === undefined) return null;
  if (raw.field !== 'int' && raw.field !== 'long') return null;
  const low = raw.field === 'int' ? raw.value : raw.low;
  const high = raw.field === 'int' ? 0 : raw.high;
  return integer.signed ? signedInteger(low, high, integer.bits) : unsignedInteger(low, high, integer.bits);
}

function unsignedInteger(low: number, high: number, bits: number): number | null {
  const value = unsigned64(low, high);
  return bits === 64 || value < 2 ** bits ? value : null;
}

function signedInteger(low: number, high: number, bits: number): number | null {
  if (bits === 64) return signed64(low, high);
  const all = low >>> 0;
  // Above 32 bits: filled up with the sign, or nothing.
  if (high >>> 0 !== 0 && !(high >>> 0 === 0xffffffff && (all | 0) < 0)) return null;
  if (bits === 32) return all | 0;
  const shift = 32 - bits;
  const value = (all << shift) >> shift;
  return all < 2 ** bits || (all | 0) === value ? value : null;
}
