import { describe, expect, it } from 'vitest';
import { enrolment, newTotpSecret, stepOfCode } from './one-time-password.js';

// PUBLISHED: RFC 6238, appendix B, the rows of SHA-1. Its codes have 8 digits; one of 6 digits is their last six, as both are
// the same number modulo a power of ten (RFC 4226, 5.3).
const secret = Buffer.from('12345678901234567890', 'ascii');
const published: [time_s: number, step: number, code: string][] = [
  [59, 0x1, '94287082'],
  [1111111109, 0x23523ec, '07081804'],
  [1111111111, 0x23523ed, '14050471'],
  [1234567890, 0x273ef07, '89005924'],
  [2000000000, 0x3f940aa, '69279037'],
  [20000000000, 0x27bc86aa, '65353130'],
];

describe('a one-time password by the clock', () => {
  it.each(published)('at %d s since 1970 is that of step %d', (time_s, step, code) => {
    expect(stepOfCode(secret, code.slice(2), time_s * 1000)).toBe(step);
  });

  it('is taken one step early or late, and no more', () => {
    const [, step, code] = published[3];
    const at = (steps: number) => stepOfCode(secret, code.slice(2), (step + steps) * 30_000 + 10_000);
    expect([-2, -1, 0, 1, 2].map(at)).toEqual([null, step, step, step, null]);
  });

  it('is not another number, and not a part of one', () => {
    const [time_s, , code] = published[2];
    const wrong = String((Number(code.slice(2)) + 1) % 1_000_000).padStart(6, '0');
    for (const typed of [wrong, code.slice(3), code, ''])
      expect(stepOfCode(secret, typed, time_s * 1000)).toBeNull();
  });

  it('has a secret that is handed over in base32, as text and in an address', () => {
    // RFC 4648, 10: base32 of "foobar".
    expect(enrolment(Buffer.from('foobar'), 'jo@example.org').secret).toBe('MZXW6YTBOI');
    const { address, secret: text } = enrolment(secret, 'jo@example.org');
    const url = new URL(address);
    expect(url.protocol).toBe('otpauth:');
    expect(url.host).toBe('totp');
    expect(decodeURIComponent(url.pathname)).toBe('/Coldrounds:jo@example.org');
    expect(Object.fromEntries(url.searchParams)).toEqual({
      ...{ issuer: 'Coldrounds', secret: text, algorithm: 'SHA1', digits: '6', period: '30' },
    });
    expect(newTotpSecret()).toHaveLength(20);
  });
});
