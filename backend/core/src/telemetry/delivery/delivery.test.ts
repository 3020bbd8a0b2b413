import { describe, expect, it } from 'vitest';
import { normalDraws, quantileSorted, seededRandom } from '../../numerics/index.js';
import { clockOffset } from './clock-offset.js';
import { latenessBin, latenessBins, latenessEdges_s, latenessQuantile_s } from './lateness.js';

/** Counts of a sample of lateness, as ingestion keeps them. */
function counted(lateness_s: readonly number[]): number[] {
  const counts = new Array<number>(latenessBins).fill(0);
  for (const each of lateness_s) counts[latenessBin(each)] += 1;
  return counts;
}

describe('lateness in bins', () => {
  it('puts each edge into the bin above it, and what lies beyond into the open ones', () => {
    latenessEdges_s.forEach((edge_s, index) => {
      expect(latenessBin(edge_s)).toBe(index + 1);
      expect(latenessBin(edge_s - 1e-6)).toBe(index);
    });
    expect(latenessBin(-1e9)).toBe(0);
    expect(latenessBin(1e9)).toBe(latenessBins - 1);
  });

  it('gives quantiles to within the bin that holds them', () => {
    const normal = normalDraws(seededRandom(3));
    const lateness = Array.from({ length: 5000 }, () => Math.exp(1.2 + 0.8 * normal()));
    const sorted = Float64Array.from(lateness).sort();
    for (const part of [0.05, 0.5, 0.95, 0.99]) {
      const exact = quantileSorted(sorted, part);
      const bin = latenessBin(exact);
      const found = latenessQuantile_s(counted(lateness), part)!;
      expect(found).toBeGreaterThanOrEqual(latenessEdges_s[bin - 1]);
      expect(found).toBeLessThanOrEqual(latenessEdges_s[bin]);
    }
    // Spread evenly over a bin, a quantile is where it would be on a line: half of 10..20 s is 15 s.
    expect(
      latenessQuantile_s(counted(Array.from({ length: 1000 }, (_, i) => 10 + i / 100)), 0.5),
    ).toBeCloseTo(15, 6);
  });

  it('gives the edge of an open bin, and nothing of nothing', () => {
    expect(latenessQuantile_s(counted([-5000, -4000]), 0.5)).toBe(-300);
    expect(latenessQuantile_s(counted([1e7]), 0.95)).toBe(604_800);
    expect(latenessQuantile_s([], 0.5)).toBeNull();
  });
});

describe('the offset of a clock', () => {
  const hours = (each: (hour: number) => { live?: number; history?: number }) =>
    Array.from({ length: 24 }, (_, hour) => {
      const { live, history } = each(hour);
      return { live_s: live ?? null, history_s: history ?? null };
    });

  it.each([-40, 0, 25])('of %d s is the lower envelope, whatever the way adds', (offset_s) => {
    const random = seededRandom(8);
    const least = hours(() => {
      // The least of a hundred exponential ways with a mean of 5 s is 0.05 s in the mean (order statistics).
      const ways = Array.from({ length: 100 }, () => -5 * Math.log(1 - random()));
      return { live: offset_s + Math.min(...ways) };
    });
    const found = clockOffset(least)!;
    expect(found.shifted).toBe(false);
    expect(found.hours).toBe(24);
    expect(Math.abs(found.offset_s - offset_s)).toBeLessThan(0.2);
  });

  it('is not moved by a backlog beside live messages', () => {
    expect(clockOffset(hours((hour) => ({ live: 1, history: 90_000 - 3000 * hour })))!.offset_s).toBe(1);
  });

  it('of an hour is told by all messages being late alike, and not read into a backlog', () => {
    expect(clockOffset(hours((hour) => ({ history: 3600 + (hour % 3) })))).toMatchObject({
      offset_s: 3601,
      shifted: true,
    });
    expect(clockOffset(hours((hour) => ({ history: 90_000 - 3000 * hour })))).toBeNull();
  });

  it('is not told of two hours', () => {
    expect(
      clockOffset([
        { live_s: 1, history_s: null },
        { live_s: 1, history_s: null },
      ]),
    ).toBeNull();
    expect(clockOffset([])).toBeNull();
  });
});
