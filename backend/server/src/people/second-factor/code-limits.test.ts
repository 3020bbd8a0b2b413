import { describe, expect, it } from 'vitest';
import { TooManyAttemptsError } from '../identity.js';
import { CodeLimits } from './code-limits.js';

describe('limits of codes', () => {
  it('stop guessing at an account, wherever it comes from, and not its owner’s own browser', async () => {
    const limits = new CodeLimits();
    for (let n = 0; n < 5; n++) await limits.take(1, null);
    await expect(limits.take(1, null)).rejects.toThrow(TooManyAttemptsError);
    await expect(limits.take(1, 'own browser')).resolves.toBeUndefined();
    await expect(limits.take(2, null)).resolves.toBeUndefined();
  });

  it('do not count codes that were right', async () => {
    const limits = new CodeLimits();
    for (let n = 0; n < 50; n++) {
      await limits.take(1, null);
      await limits.succeeded(1, null);
    }
    for (let n = 0; n < 5; n++) await limits.take(1, null);
    await expect(limits.take(1, null)).rejects.toThrow(TooManyAttemptsError);
  });
});
