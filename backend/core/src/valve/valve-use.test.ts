import { describe, expect, it } from 'vitest';
import type { OperatingState } from '../steadiness/windows/window-judgement.js';
import { valveUseOf } from './valve-use.js';

const use = (openings: number[], band_pct?: number) =>
  valveUseOf(
    Float64Array.from(openings),
    openings.map((): OperatingState => 'steady'),
    new Float64Array(openings.length).fill(10),
    band_pct,
  )!;

describe('travel of the valve', () => {
  it('is the sum of all moves where the reading is fine', () => {
    expect(use([40, 40.1, 40, 50]).travel_strokes).toBeCloseTo(0.102, 9);
    expect(use([40, 40.1, 40, 50]).reversals).toBe(0);
  });

  it('does not count a coarse reading that flickers between two steps', () => {
    const flickering = Array.from({ length: 100 }, (_, i) => 45 + 5 * (i % 2));
    expect(use(flickering, 5.05)).toMatchObject({ travel_strokes: 0, reversals: 0 });
    // By the plain sum it would have been 99 moves of 5 %.
    expect(use(flickering).travel_strokes).toBeCloseTo(4.95, 9);
  });

  it('counts moves of a coarse reading beyond its step, there and back', () => {
    const there = [40, 45, 50, 55, 60, 55, 60, 55, 50, 45, 40];
    expect(use(there, 5.05).travel_strokes).toBeCloseTo(0.4, 9);
    expect(use(there, 5.05).reversals).toBe(1);
  });
});
