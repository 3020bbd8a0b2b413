import { max, min } from 'd3-array';
import { describe, expect, it } from 'vitest';
import { band, line, type Point } from '../../parts.js';
import { drawnIndices, linesInView } from './in-view.js';

/** Numbers from 0 to 1, the same each time (mulberry32). */
function draws(seed: number): () => number {
  let state = seed;
  return () => {
    state = (state + 0x6d2b79f5) | 0;
    let mixed = Math.imul(state ^ (state >>> 15), 1 | state);
    mixed = (mixed + Math.imul(mixed ^ (mixed >>> 7), 61 | mixed)) ^ mixed;
    return ((mixed ^ (mixed >>> 14)) >>> 0) / 4294967296;
  };
}

/** A walk with breaks, unevenly spaced. */
function walk(random: () => number, count: number): Point[] {
  let [at, value] = [0, 0];
  return Array.from({ length: count }, (): Point => {
    at += random() < 0.02 ? 40 * random() : random();
    value += random() - 0.5;
    return [at, random() < 0.03 ? null : value];
  });
}
const own = (points: Point[]) => (index: number) => ({ low: points[index][1], high: points[index][1] });
const runs = Array.from({ length: 60 }, (_, seed) => seed + 1);

describe('what a window shows of a line', () => {
  it.each(runs)('has the lowest and the highest of each column of pixels (seed %i)', (seed) => {
    const random = draws(seed);
    const points = walk(random, 200 + Math.floor(2000 * random()));
    const last = points.at(-1)![0];
    const from = last * random() * 0.6;
    const window = { from, to: from + last * (0.1 + 0.5 * random()), width: 20 + Math.floor(200 * random()) };
    const kept = drawnIndices(points, own(points), window);
    const column = ([at]: Point) => Math.floor(((at - from) / (window.to - from)) * window.width);
    const byColumn = (list: Point[]) => {
      const found = new Map<number, number[]>();
      for (const point of list)
        if (point[1] !== null && point[0] >= from && point[0] <= window.to)
          found.set(column(point), [...(found.get(column(point)) ?? []), point[1]]);
      return new Map([...found].map(([key, values]) => [key, [min(values), max(values)]]));
    };
    expect(byColumn(kept.map((index) => points[index]))).toEqual(byColumn(points));
    expect([...kept].sort((a, b) => a - b)).toEqual(kept);
    expect(new Set(kept).size).toBe(kept.length);
  });

  it.each(runs)('is broken where the line is, and nowhere else (seed %i)', (seed) => {
    const random = draws(1000 + seed);
    const points = walk(random, 1500);
    const window = { from: 0, to: points.at(-1)![0], width: 60 };
    const kept = drawnIndices(points, own(points), window);
    const known = kept.filter((index) => points[index][1] !== null);
    for (let at = 1; at < known.length; at += 1) {
      const between = points.slice(known[at - 1], known[at]).some(([, value]) => value === null);
      const broken = kept.some(
        (index) => index > known[at - 1] && index < known[at] && points[index][1] === null,
      );
      expect(broken).toBe(between);
    }
    // Two a column and stretch between breaks, and one for each break.
    const breaks = points.filter(([, value]) => value === null).length;
    expect(kept.length).toBeLessThanOrEqual(2 * (window.width + 2) + 3 * breaks);
  });

  it('is all of it and one point on either side where there are few', () => {
    const points = Array.from({ length: 10 }, (_, index): Point => [index, index]);
    expect(drawnIndices(points, own(points), { from: 3, to: 5, width: 100 })).toEqual([2, 3, 4, 5, 6]);
    // Between two points a line still crosses.
    expect(drawnIndices(points, own(points), { from: 3.2, to: 3.4, width: 100 })).toEqual([3, 4]);
    expect(drawnIndices(points, own(points), { from: 20, to: 30, width: 100 })).toEqual([9]);
    expect(drawnIndices([], own([]), { from: 0, to: 1, width: 10 })).toEqual([]);
  });
});

describe('what a window shows of a band', () => {
  it.each(runs)(
    'keeps its lowest lower and its highest upper edge, both at the same places (seed %i)',
    (seed) => {
      const random = draws(2000 + seed);
      const low = walk(random, 900);
      const high = low.map(([at, value]): Point => [at, value === null ? null : value + 3 * random()]);
      const window = { from: 0, to: low.at(-1)![0], width: 1 };
      const [lower, height] = linesInView(band('b', low, high, '#000'), window).map(
        (each) => each.data as Point[],
      );
      expect(lower.map(([at]) => at)).toEqual(height.map(([at]) => at));
      const inside = (points: Point[]) => points.filter(([at]) => at < window.to).map(([, value]) => value);
      expect(min(inside(lower) as number[])).toBe(min(inside(low) as number[]));
      const tops = lower.map(([at, value], index): Point => {
        const over = height[index][1];
        return [at, value === null || over === null ? null : value + over];
      });
      expect(max(inside(tops) as number[])).toBeCloseTo(max(inside(high) as number[])!, 12);
    },
  );

  it('leaves everything of a line but its points', () => {
    const drawn = line('a', [[0, 1]], { color: '#000' });
    expect(linesInView([drawn], { from: 0, to: 1, width: 10 })).toEqual([drawn]);
  });
});
