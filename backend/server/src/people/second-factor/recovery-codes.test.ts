import { describe, expect, it } from 'vitest';
import { newRecoveryCodes, recoveryHashOf } from './recovery-codes.js';

describe('recovery codes', () => {
  it('are ten, all different, of 24 letters and digits out of 32: 120 bits', () => {
    const codes = newRecoveryCodes();
    expect(new Set(codes).size).toBe(10);
    for (const code of codes) expect(code).toMatch(/^([02-9a-hjkmnp-z]{4}-){5}[02-9a-hjkmnp-z]{4}$/);
    expect(new Set(newRecoveryCodes().concat(codes)).size).toBe(20);
  });

  it('are known again however they are typed, and nothing else is', () => {
    const [code, other] = newRecoveryCodes();
    const kept = recoveryHashOf(code)!;
    expect(recoveryHashOf(` ${code.toUpperCase().replaceAll('-', ' ')} `)).toEqual(kept);
    expect(recoveryHashOf(other)).not.toEqual(kept);
    expect(recoveryHashOf('123456')).toBeNull();
    expect(recoveryHashOf(code.slice(1))).toBeNull();
  });
});
