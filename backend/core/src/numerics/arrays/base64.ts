import { ArgumentError } from '../../units/errors.js';

/** Decoders, quickest first: Node's own, and the WHATWG one that every engine has. */
const platform = globalThis as unknown as {
  Buffer?: { from: (text: string, encoding: 'base64') => Uint8Array<ArrayBuffer> };
  atob: (text: string) => string;
};

/**
 * Bytes from base64 (RFC 4648).
 * @throws ArgumentError when the text is not base64.
 */
export function bytesFromBase64(text: string): Uint8Array<ArrayBuffer> {
  const bytes = platform.Buffer ? platform.Buffer.from(text, 'base64') : withoutBuffer(text);
  // Node's decoder passes over what is not base64, so that too few bytes come out.
  const padding = text.endsWith('==') ? 2 : text.endsWith('=') ? 1 : 0;
  if (text.length % 4 !== 0 || bytes.length !== (text.length / 4) * 3 - padding) {
    throw new ArgumentError('text', 'is not base64');
  }
  return bytes;
}

function withoutBuffer(text: string): Uint8Array<ArrayBuffer> {
  let binary: string;
  try {
    binary = platform.atob(text);
  } catch {
    throw new ArgumentError('text', 'is not base64');
  }
  return Uint8Array.from(binary, (letter) => letter.charCodeAt(0));
}

/** Whether this machine keeps the low byte first, as the stored numbers do. */
const lowByteFirst = new Uint8Array(new Uint16Array([1]).buffer)[0] === 1;

function bufferOf(text: string, size: 4 | 8): ArrayBuffer {
  const bytes = bytesFromBase64(text);
  if (bytes.length % size !== 0) throw new ArgumentError('text', `does not hold whole ${size}-byte numbers`);
  // A copy of its own: a decoder may hand out a part of a larger buffer, at any byte.
  const own = new Uint8Array(bytes);
  if (!lowByteFirst) for (let i = 0; i < own.length; i += size) own.subarray(i, i + size).reverse();
  return own.buffer;
}

/** Doubles from base64 of their little-endian bytes. */
export function doublesFromBase64(text: string): Float64Array {
  return new Float64Array(bufferOf(text, 8));
}

/** Single-precision numbers from base64 of their little-endian bytes. */
export function floatsFromBase64(text: string): Float32Array {
  return new Float32Array(bufferOf(text, 4));
}
