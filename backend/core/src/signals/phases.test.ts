import { describe, expect, it } from 'vitest';
import { phasesOf } from './phases.js';

describe('cosine and sine of a cycle at some times', () => {
  const omega = (2 * Math.PI) / 187;
  const worst = (time_s: readonly number[]) => {
    const { cosine, sine } = phasesOf(time_s, omega);
    return Math.max(
      ...time_s.map((t, i) =>
        Math.hypot(
          cosine[i] - Math.cos(omega * (t - time_s[0])),
          sine[i] - Math.sin(omega * (t - time_s[0])),
        ),
      ),
    );
  };

  it('are those of the angle itself, but for the rounding of an angle of so many radians', () => {
    const even = (length: number) => Array.from({ length }, (_, i) => 1.7e9 + 10 * i);
    expect(worst(even(720))).toBeLessThan(1e-13);
    expect(worst(even(8640))).toBeLessThan(1e-12);
  });

  it('are so where steps change, at every sample or now and then', () => {
    const steps = [10, 10, 10, 7, 7, 10, 30, 10, 10, 3, 4, 5, 10, 10];
    let at_s = 0;
    const uneven = Array.from({ length: 500 }, (_, i) => (at_s += steps[i % steps.length]));
    expect(worst(uneven)).toBeLessThan(1e-13);
    expect(worst([5, 5, 5, 6])).toBeLessThan(1e-13);
    expect(worst([5])).toBe(0);
  });
});
