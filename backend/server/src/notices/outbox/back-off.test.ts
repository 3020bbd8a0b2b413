import { describe, expect, it } from 'vitest';
import { waitAfter_s } from './back-off.js';

describe('the time between tries', () => {
  it('grows with each failure, and ends after the eighth try', () => {
    const waits = [1, 2, 3, 4, 5, 6, 7].map((failures) => waitAfter_s(failures)!);
    expect([...waits].sort((a, b) => a - b)).toEqual(waits);
    expect(new Set(waits).size).toBe(7);
    expect(waitAfter_s(8)).toBeNull();
    const sum_h = waits.reduce((sum, wait_s) => sum + wait_s, 0) / 3600;
    expect(sum_h).toBeGreaterThan(19);
    expect(sum_h).toBeLessThan(22);
  });
});
