import { describe, expect, it } from 'vitest';
import { seededRandom } from '../../../numerics/index.js';
import { days, window } from '../../sample-window.js';
import { fractionSeenAs, timeUnderLimit } from './time-under-limit.js';

describe('a fraction of time', () => {
  it('is at least what its excursions show: nine in ten and more of the true fractions lie above', () => {
    // Two states that alternate with exponential times, seen from a moment at random.
    const random = seededRandom(71);
    const lasting = (mean: number) => -mean * Math.log(1 - random());
    for (const [under, over, excursions] of [
      [1, 9, 40],
      [2, 98, 25],
      [5, 5, 12],
    ] as const) {
      let above = 0;
      const runs = 2000;
      for (let run = 0; run < runs; run++) {
        let low = random() < under / (under + over);
        let time = 0;
        let wet = 0;
        let count = 0;
        const whole = excursions * (under + over);
        while (time < whole) {
          const length = Math.min(lasting(low ? under : over), whole - time);
          if (low) {
            wet += length;
            count++;
          }
          time += length;
          low = !low;
        }
        if (fractionSeenAs(wet / whole, count).atLeast <= under / (under + over)) above++;
      }
      expect(above / runs).toBeGreaterThan(0.9);
      expect(above / runs).toBeLessThan(0.99);
    }
  });

  it('is known better, the more excursions there were', () => {
    // 1.0014 % in 50 excursions: log-odds -4.594 less 1.645 sqrt(2 / 50), by hand.
    expect(fractionSeenAs(0.010014, 50).atLeast).toBeCloseTo(1 / (1 + Math.exp(4.594 + 0.329)), 4);
    expect(fractionSeenAs(0.3, 100).atLeast).toBeGreaterThan(fractionSeenAs(0.3, 10).atLeast);
    expect(fractionSeenAs(0, 0)).toEqual({ fraction: 0, atLeast: 0 });
    expect(fractionSeenAs(1, 1)).toEqual({ fraction: 1, atLeast: 1 });
  });

  it('is taken over windows by their minutes, with one excursion at least in each that has any', () => {
    const seen = [
      window(0, { superheat: { minutes: 60, underLimitFraction: 0.5, underLimitExcursions: 3 } }),
      window(1, { superheat: { minutes: 120, underLimitFraction: 0.1 } }),
      window(2),
    ];
    expect(timeUnderLimit(seen, 'as-read')).toEqual(fractionSeenAs(42 / 300, 4));
    expect(timeUnderLimit(seen, 'surely')).toEqual({ fraction: 0, atLeast: 0 });
    expect(timeUnderLimit([], 'as-read').atLeast).toBe(0);
  });

  it('that goes on from window to window is one excursion', () => {
    const wet = [...days(3), ...days(1, { superheat: { surelyUnderLimitFraction: 0.995 } }, 3)];
    expect(timeUnderLimit(wet, 'surely').atLeast).toBeCloseTo(fractionSeenAs(0.995 / 4, 1).atLeast, 9);
  });
});
