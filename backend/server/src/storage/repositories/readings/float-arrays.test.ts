import { describe, expect, it } from 'vitest';
import { column, decodeFloats } from './float-arrays.js';

/** `array_send(array[1.5, null, -2]::real[])`, as PostgreSQL 17 answers it. */
const sent = Buffer.from(
  '0000000100000001000002bc0000000300000001' + '000000043fc00000' + 'ffffffff' + '00000004c0000000',
  'hex',
);

describe('decodeFloats', () => {
  it('reads single precision with nulls as NaN', () => {
    expect([...decodeFloats(sent)]).toEqual([1.5, NaN, -2]);
  });

  it('takes no array and an empty array as nothing', () => {
    expect(decodeFloats(null)).toHaveLength(0);
    expect(decodeFloats(Buffer.from('0000000000000000000002bc', 'hex'))).toHaveLength(0);
  });

  it('turns missing values into null for answers', () => {
    expect(column([0.1, NaN, Math.fround(0.1)])).toEqual([0.1, null, 0.1]);
  });
});
