import { afterEach, describe, expect, it, vi } from 'vitest';
import { ArgumentError } from '../../units/index.js';
import { bytesFromBase64, doublesFromBase64, floatsFromBase64 } from './base64.js';

const letters = (text: string) => Uint8Array.from(text, (letter) => letter.charCodeAt(0));

/** Once with the platform's quick decoder, once with the one that every engine has. */
describe.each([true, false])('base64, with the quick decoder: %s', (quick) => {
  afterEach(() => void vi.unstubAllGlobals());
  const without = () => void (quick || vi.stubGlobal('Buffer', undefined));

  it.each([
    ['', ''],
    ['f', 'Zg=='],
    ['fo', 'Zm8='],
    ['foo', 'Zm9v'],
    ['foob', 'Zm9vYg=='],
    ['fooba', 'Zm9vYmE='],
    ['foobar', 'Zm9vYmFy'],
  ])('gives the bytes of "%s" for %s (PUBLISHED: RFC 4648, section 10)', (plain, encoded) => {
    without();
    expect([...bytesFromBase64(encoded)]).toEqual([...letters(plain)]);
  });

  it('reads doubles and single-precision numbers, low byte first (PUBLISHED: IEEE 754 patterns of 1 and -2)', () => {
    without();
    // 1.0 is 3FF0000000000000, -2.0 is C000000000000000; as singles 3F800000 and C0000000.
    expect([...doublesFromBase64('AAAAAAAA8D8AAAAAAAAAwA==')]).toEqual([1, -2]);
    expect([...floatsFromBase64('AACAPwAAAMA=')]).toEqual([1, -2]);
  });

  it('refuses what is not base64, and numbers cut short', () => {
    without();
    expect(() => bytesFromBase64('Zm9v!mFy')).toThrow(ArgumentError);
    expect(() => bytesFromBase64('Zm9vY')).toThrow(ArgumentError);
    expect(() => doublesFromBase64('AACAPw==')).toThrow(ArgumentError);
  });
});
