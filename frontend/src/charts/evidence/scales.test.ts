import { scaleLinear, scaleUtc } from 'd3-scale';
import { describe, expect, it } from 'vitest';
import { linearScale, timeScale, timeTicks } from './scales.js';

// COMPUTED by d3-scale, a reference library that is too heavy for the first screen.
describe('a straight scale', () => {
  it.each([
    [0, 10],
    [-3.2, 17.9],
    [0.013, 0.94],
    [1_000, 98_765],
  ] as [number, number][])('from %d to %d has the places and marks of the reference', (low, high) => {
    const scale = linearScale([low, high], [300, 20]);
    const reference = scaleLinear([low, high], [300, 20]);
    for (const value of [low, (low + 2 * high) / 3, high])
      expect(scale.place(value)).toBeCloseTo(reference(value), 9);
    expect(scale.ticks(5)).toEqual(reference.ticks(5));
    const nice = linearScale([low, high], [300, 20], 4);
    expect(nice.place(low)).toBeCloseTo(reference.copy().nice(4)(low), 9);
    expect(nice.ticks(4)).toEqual(reference.copy().nice(4).ticks(4));
  });
});

describe('a scale of time', () => {
  const start = Date.UTC(2026, 2, 5, 7, 12, 40);
  it.each([
    ['twenty minutes', 1_200_000],
    ['two hours', 7_200_000],
    ['a day', 86_400_000],
    ['a week', 7 * 86_400_000],
  ])('over %s has the marks of the reference', (_, length) => {
    const domain: [number, number] = [start, start + length];
    expect(timeScale(domain, [0, 600]).ticks(5)).toEqual(
      scaleUtc(domain, [0, 600])
        .ticks(5)
        .map((at) => at.getTime()),
    );
  });
  it('over years has the firsts of months', () => {
    const marks = timeTicks(start, start + 2 * 365 * 86_400_000, 5);
    expect(marks.length).toBeGreaterThan(1);
    expect(marks.every((at) => new Date(at).getUTCDate() === 1)).toBe(true);
    expect(marks.every((at) => at >= start)).toBe(true);
  });
  it('has none where no round time lies between', () => {
    expect(timeTicks(start + 1, start + 2, 3)).toEqual([]);
  });
});
