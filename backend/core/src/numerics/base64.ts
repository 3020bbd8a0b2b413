import { ArgumentError } from '../units/errors.js';

const alphabet = 'ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789+/';
const invalid = 64;
const sextets = new Uint8Array(256).fill(invalid);
for (let i = 0; i < 64; i++) sextets[alphabet.charCodeAt(i)] = i;

/**
 * Bytes from padded base64 (RFC 4648), without help of the platform, so that the core stays free of it.
 * @throws ArgumentError when the text is not base64.
 */
export function bytesFromBase64(text: string): Uint8Array<ArrayBuffer> {
  if (text.length % 4 !== 0) throw new ArgumentError('text', 'is not padded base64');
  const padding = text.endsWith('==') ? 2 : text.endsWith('=') ? 1 : 0;
  const bytes = new Uint8Array((text.length / 4) * 3);
  const whole = padding ? text.length - 4 : text.length;
  let seen = 0;
  let k = 0;
  for (let i = 0; i < whole; i += 4) {
    const a = sextets[text.charCodeAt(i) & 255];
    const b = sextets[text.charCodeAt(i + 1) & 255];
    const c = sextets[text.charCodeAt(i + 2) & 255];
    const d = sextets[text.charCodeAt(i + 3) & 255];
    seen |= a | b | c | d;
    bytes[k++] = (a << 2) | (b >> 4);
    bytes[k++] = (b << 4) | (c >> 2);
    bytes[k++] = (c << 6) | d;
  }
  if (padding) {
    const a = sextets[text.charCodeAt(whole) & 255];
    const b = sextets[text.charCodeAt(whole + 1) & 255];
    const c = padding === 2 ? 0 : sextets[text.charCodeAt(whole + 2) & 255];
    seen |= a | b | c;
    bytes[k++] = (a << 2) | (b >> 4);
    bytes[k] = (b << 4) | (c >> 2);
  }
  if (seen & invalid) throw new ArgumentError('text', 'holds a character outside base64');
  return bytes.subarray(0, bytes.length - padding);
}

/** Whether this machine keeps the low byte first, as the stored numbers do. */
const lowByteFirst = new Uint8Array(new Uint16Array([1]).buffer)[0] === 1;

function bufferOf(text: string, size: 4 | 8): ArrayBuffer {
  const bytes = bytesFromBase64(text);
  if (bytes.length % size !== 0) throw new ArgumentError('text', `does not hold whole ${size}-byte numbers`);
  if (!lowByteFirst) for (let i = 0; i < bytes.length; i += size) bytes.subarray(i, i + size).reverse();
  return bytes.buffer;
}

/** Doubles from base64 of their little-endian bytes. */
export function doublesFromBase64(text: string): Float64Array {
  const buffer = bufferOf(text, 8);
  return new Float64Array(buffer, 0, Math.floor(buffer.byteLength / 8));
}

/** Single-precision numbers from base64 of their little-endian bytes. */
export function floatsFromBase64(text: string): Float32Array {
  const buffer = bufferOf(text, 4);
  return new Float32Array(buffer, 0, Math.floor(buffer.byteLength / 4));
}
