import { describe, expect, it } from 'vitest';
import { halfCycles } from './half-cycles.js';
import { indexReadings } from './index-readings.js';
import { oscillationLimits } from '../oscillation-limits.js';
import { phaseConcentration } from './phase-concentration.js';
import { readingResolution } from '../reading-resolution.js';
import {
  forsmanStattinSimilarity,
  haegglundLoadFraction,
  miaoSeborgRatio,
  thornhillRegularity,
} from './regularity-indices.js';
import { swingTooSlow } from '../slow-swing.js';
import { usableSamples } from '../usable-samples.js';

const column = (n: number, of: (i: number) => number) => Float64Array.from({ length: n }, (_, i) => of(i));
const half = (area: number, length_s = 30) => ({ from_s: 0, length_s, area });

describe('half-cycles at their crossings', () => {
  it('begin and end at a value of exactly zero', () => {
    // Zero at 1, 3 and 5; between them triangles of base 2 and height 1 or -2.
    const found = halfCycles(Float64Array.of(-1, 0, 1, 0, -2, 0, 1), 1);
    expect(found.map(({ from_s, length_s }) => [from_s, length_s])).toEqual([
      [1, 2],
      [3, 2],
    ]);
    expect(found.map(({ area }) => area)).toEqual([1, -2]);
  });

  it('have no crossing where the trace stays at zero or touches nothing', () => {
    expect(halfCycles(Float64Array.of(0, 0, 0, 0), 1)).toEqual([]);
    expect(halfCycles(Float64Array.of(1, 2, 1, 3), 1)).toEqual([]);
    expect(halfCycles(new Float64Array(0), 1)).toEqual([]);
  });

  it('have the area of their trapezia, cut where the lines cross', () => {
    // Crossings at 0.25 (from -1 to 3) and 2 + 2/3 (from 2 to -1).
    // Area: 0.5 * 3 * 0.75 + 0.5 * (3 + 2) + 0.5 * 2 * 2/3, times 10 s.
    const [one] = halfCycles(Float64Array.of(-1, 3, 2, -1), 10);
    expect(one!.from_s).toBeCloseTo(2.5, 12);
    expect(one!.length_s).toBeCloseTo(10 * (2 + 2 / 3 - 0.25), 12);
    expect(one!.area).toBeCloseTo(10 * (1.125 + 2.5 + 2 / 3), 12);
  });

  it('do not count before the first crossing nor after the last', () => {
    expect(halfCycles(Float64Array.of(5, 5, -1, -1), 1)).toEqual([]);
  });
});

describe('load count (Haegglund 1995)', () => {
  it('counts a half-cycle that just reaches amplitude times period over pi', () => {
    // With a period of pi the limit is the amplitude itself.
    expect(haegglundLoadFraction([half(2), half(-2)], 2, Math.PI, 2 * Math.PI)).toBe(0.5);
    expect(haegglundLoadFraction([half(1.999), half(-2)], 2, Math.PI, 2 * Math.PI)).toBe(0.25);
  });

  it('is at most one, and none without half-cycles', () => {
    expect(haegglundLoadFraction([half(9), half(9), half(9)], 1, Math.PI, Math.PI)).toBe(1);
    expect(haegglundLoadFraction([], 1, Math.PI, Math.PI)).toBe(0);
  });
});

describe('similarity of half-cycles (Forsman and Stattin 1999)', () => {
  /** One pair as given among three that are alike. */
  const similarity = (areas: [number, number], lengths: [number, number] = [30, 30]) =>
    forsmanStattinSimilarity([
      half(areas[0], lengths[0]),
      half(1),
      half(areas[1], lengths[1]),
      half(1),
      half(areas[1], lengths[1]),
      half(1),
    ]);

  it('takes ratios of exactly 0.6 and 1/0.6 of area, 0.75 and 1/0.75 of length as alike', () => {
    expect(similarity([0.6, 1])).toBe(1);
    expect(similarity([1, 0.6])).toBe(1);
    expect(similarity([0.599, 1])).toBe(0.75);
    expect(similarity([1, 0.599])).toBe(0.75);
    expect(similarity([1, 1], [30, 40])).toBe(1);
    expect(similarity([1, 1], [40, 30])).toBe(1);
    expect(similarity([1, 1], [29.9, 40])).toBe(0.75);
    expect(similarity([1, 1], [40, 29.9])).toBe(0.75);
  });

  it('compares sizes whatever the sign, and counts none alike where none is', () => {
    expect(forsmanStattinSimilarity([1, -1, 1, -1, 1, -1].map((area) => half(area)))).toBe(1);
    expect(forsmanStattinSimilarity([1, 1, 4, 4, 16, 16].map((area) => half(area)))).toBe(0);
  });
});

describe('regularity of crossings (Thornhill, Huang and Zhang 2003)', () => {
  /** +1 and -1 by turns, changing halfway before each place. */
  const changingAt = (places: number[], n: number) =>
    column(n, (k) => (places.filter((place) => place <= k).length % 2 ? -1 : 1));

  it('needs four intervals, and is capped at 100 where all are alike', () => {
    // Five crossings every 10 lags of 2 s: intervals of 20 s, periods of 40 s without scatter.
    expect(thornhillRegularity(changingAt([10, 20, 30, 40, 50], 60), 2)).toEqual({
      regularity: 100,
      period_s: 40,
      intervals: 4,
    });
    expect(thornhillRegularity(changingAt([10, 20, 30, 40], 60), 2)).toBeNull();
  });

  it('is the mean over three sample deviations', () => {
    // Intervals 9, 11, 9, 11: periods 18, 22, 18, 22; mean 20, deviation sqrt(4 * 4 / 3).
    const found = thornhillRegularity(changingAt([10, 19, 30, 39, 50], 60), 1)!;
    expect(found.period_s).toBeCloseTo(20, 12);
    expect(found.regularity).toBeCloseTo(20 / (3 * Math.sqrt(16 / 3)), 9);
  });

  it('stops at a hole, and after as many intervals as asked for', () => {
    const rho = changingAt([10, 20, 30, 40, 50, 60, 70, 80, 90, 100, 110, 120, 130, 140], 150);
    expect(thornhillRegularity(rho, 1)!.intervals).toBe(11);
    expect(thornhillRegularity(rho, 1, 5)!.intervals).toBe(5);
    const holed = rho.slice();
    holed[65] = NaN;
    expect(thornhillRegularity(holed, 1)!.intervals).toBe(5);
    holed[45] = NaN;
    expect(thornhillRegularity(holed, 1)).toBeNull();
  });

  it('takes a value of exactly zero as one crossing', () => {
    const touching = [1, 0, -1, 0, 1, 0, -1, 0, 1, 0, -1];
    // Zero every second lag: intervals of 2 lags, periods of 4.
    expect(thornhillRegularity(Float64Array.from(touching), 1)).toEqual({
      regularity: 100,
      period_s: 4,
      intervals: 4,
    });
  });
});

describe('decay ratio (Miao and Seborg 1999)', () => {
  // Period of four lags: first minimum among lags 1 to 3, first maximum 3 to 5, second minimum 5 to 7.
  const rho = [1, 0.1, -0.6, 0.2, 0.8, -0.1, -0.5, 0.3];

  it('is a over b of the three extremes', () => {
    // b = (1 + 0.8) / 2 + 0.6 = 1.5; a = 0.8 + (0.6 + 0.5) / 2 = 1.35.
    expect(miaoSeborgRatio(Float64Array.from(rho), 1, 4)!).toBeCloseTo(0.9, 12);
    expect(miaoSeborgRatio(Float64Array.from(rho), 5, 20)!).toBeCloseTo(0.9, 12);
  });

  it('finds an extreme at either end of where it is sought', () => {
    // Minimum at lag 1, maximum at lag 5, second minimum at lag 7: b = (1 + 0.5) / 2 + 0.4, a = 0.5 + (0.4 + 0.3) / 2.
    const ends = [1, -0.4, 0, 0, 0.2, 0.5, 0, -0.3];
    expect(miaoSeborgRatio(Float64Array.from(ends), 1, 4)!).toBeCloseTo(0.85 / 1.15, 12);
    // Minimum and maximum both at lag 3 is no contradiction: each is the extreme of its own stretch.
    const third = [1, 0.9, 0.9, 0.8, 0.7, 0.6, 0.6, 0.6];
    // Minimum 0.8, maximum 0.8, second minimum 0.6: b = 0.9 - 0.8, a = 0.8 - 0.7.
    expect(miaoSeborgRatio(Float64Array.from(third), 1, 4)!).toBeCloseTo(1, 9);
  });

  it('is unknown where the lags end before the second minimum may, or all of a stretch is missing', () => {
    expect(miaoSeborgRatio(Float64Array.from(rho.slice(0, 7)), 1, 4)).toBeNull();
    const without = (...lags: number[]) => Float64Array.from(rho, (v, k) => (lags.includes(k) ? NaN : v));
    expect(miaoSeborgRatio(without(1, 2, 3), 1, 4)).toBeNull();
    expect(miaoSeborgRatio(without(3, 4, 5), 1, 4)).toBeNull();
    expect(miaoSeborgRatio(without(5, 6, 7), 1, 4)).toBeNull();
    expect(miaoSeborgRatio(without(1, 7), 1, 4)!).toBeCloseTo(0.9, 12);
  });

  it('is zero where nothing moves', () => {
    expect(miaoSeborgRatio(new Float64Array(8), 1, 4)).toBe(0);
    expect(miaoSeborgRatio(new Float64Array(8).fill(1), 1, 4)).toBe(0);
  });
});

describe('the readings of the indices', () => {
  // Published: regularity 1, decay 0.5, similarity 0.4; the others are judgement, no source.
  const above = {
    lombScarglePower: 0.08,
    thornhillRegularity: 1,
    miaoSeborgDecay: 0.5,
    forsmanStattinSimilarity: 0.4,
    haegglundLoadFraction: 0.6,
    phaseKeeping: 0.8,
  };

  it('do not agree at their limit, but just over it', () => {
    for (const [key, limit] of Object.entries(above)) {
      expect(indexReadings({ [key]: limit })[0]).toMatchObject({ key, value: limit, limit, agrees: false });
      expect(indexReadings({ [key]: limit + 1e-9 })[0]!.agrees).toBe(true);
    }
    expect(oscillationLimits.sparseFraction).toBe(0.4);
  });

  it('agree with a false-alarm probability of one in 100 000 and less', () => {
    expect(indexReadings({ lombScargleFalseAlarm: 1e-5 })[0]).toMatchObject({ limit: 1e-5, agrees: true });
    expect(indexReadings({ lombScargleFalseAlarm: 1.001e-5 })[0]!.agrees).toBe(false);
  });

  it('carry the value into the sentence, and keep zero', () => {
    const [reading] = indexReadings({ miaoSeborgDecay: 0 });
    expect(reading!.meaning.quantities!['value']).toMatchObject({ value: 0 });
    expect(reading!.agrees).toBe(false);
    expect(indexReadings({ miaoSeborgDecay: Infinity })).toEqual([]);
  });
});

describe('the concentration of phase by parts', () => {
  /** Parts by turns in phase and a quarter of a cycle late. */
  const turning = (cycles: number, parts: number) => {
    const period_s = 800 / cycles;
    const time_s = column(801, (i) => i);
    const value = column(801, (i) =>
      Math.cos((2 * Math.PI * i) / period_s - (Math.floor((parts * i) / 800) % 2 ? Math.PI / 2 : 0)),
    );
    return phaseConcentration(time_s, value, period_s);
  };

  it('is taken from eighths from eight cycles on, else from quarters', () => {
    // Two directions at a right angle, as often as each other: the root of a half.
    expect(turning(8, 8)).toBeCloseTo(Math.SQRT1_2, 2);
    // Each quarter holds both halves and so the same direction as the next.
    expect(turning(7.9, 8)).toBeGreaterThan(0.95);
    expect(turning(4, 4)).toBeCloseTo(Math.SQRT1_2, 1);
    // Sixteenths are not told apart.
    expect(turning(32, 16)).toBeGreaterThan(0.98);
  });

  it('does not depend on where time begins or on the size', () => {
    const period_s = 100;
    const value = column(801, (i) => Math.cos((2 * Math.PI * i) / period_s));
    const first = phaseConcentration(
      column(801, (i) => i),
      value,
      period_s,
    );
    const later = phaseConcentration(
      column(801, (i) => 12_345 + i),
      value.map((v) => 40 * v),
      period_s,
    );
    expect(later).toBeCloseTo(first, 9);
    expect(first).toBeGreaterThan(0.999);
  });
});

describe('the step of a reading', () => {
  it('may be off by a fiftieth of itself', () => {
    expect(readingResolution(Float64Array.of(0, 1, 2.015))).toBe(1);
    expect(readingResolution(Float64Array.of(0, 1, 2.025))).toBe(0);
    expect(readingResolution(Float64Array.of(0, 1, 1.985 + 1))).toBe(1);
  });

  it('does not count differences of a millionth of the range, which are rounding', () => {
    expect(readingResolution(Float64Array.of(0, 1e-6, 1, 2))).toBeCloseTo(1, 5);
    expect(readingResolution(Float64Array.of(0, 3.3e-6, 1))).toBe(0);
  });

  it('has no end where one value is read throughout, and may come after 48 of them', () => {
    expect(readingResolution(new Float64Array(60).fill(5))).toBe(Infinity);
    expect(readingResolution(column(60, (i) => (i < 50 ? 5 : 5.5)))).toBe(0.5);
  });

  it('leaves the values in their order', () => {
    const value = Float64Array.of(3, 1, 2);
    readingResolution(value);
    expect([...value]).toEqual([3, 1, 2]);
  });
});

describe('a swing too slow to judge, by its cycles', () => {
  const time_s = column(721, (i) => 10 * i);
  const slow = (cycles: number, fewest = 4, longest_s = 7200) =>
    swingTooSlow(
      time_s,
      column(721, (i) => Math.sin((2 * Math.PI * cycles * i) / 720)),
      7200,
      fewest,
      longest_s,
    );

  it('may have 1.75 of them, and as few as a verdict needs less a quarter', () => {
    expect(slow(1.75)).toBe(true);
    expect(slow(3.75)).toBe(true);
    expect(slow(6)).toBe(false);
    expect(slow(6, 7)).toBe(true);
  });

  it('is sought up to twice the longest period', () => {
    // Two cycles in 7200 s: 3600 s; neighbouring periods fit it less and less.
    expect(slow(2, 2.25, 1800)).toBe(true);
    expect(slow(2, 2.25, 1799)).toBe(false);
  });
});

describe('samples averaged where they come fast', () => {
  const every = (n: number, spacing_s: number, coarsest_s: number) =>
    usableSamples(
      column(n, (i) => spacing_s * i),
      column(n, (i) => i),
      coarsest_s,
    );

  it('are more than a hundred, at under half of the coarsest interval', () => {
    expect(every(100, 1, 10).spacing_s).toBe(1);
    expect(every(101, 1, 10).spacing_s).toBe(10);
    expect(every(200, 5, 10).spacing_s).toBe(5);
    expect(every(200, 4.9, 10).spacing_s).toBe(10);
  });

  it('lie at the mean time of their bin; a bin without any is left out', () => {
    const time = column(200, (i) => (i < 100 ? i : i + 20));
    const used = usableSamples(
      time,
      column(200, (i) => (i < 100 ? 1 : 2)),
      10,
    );
    // Ten bins of ten, a hole of two bins, ten more.
    expect(used.time_s).toHaveLength(20);
    expect([used.time_s[9], used.time_s[10]]).toEqual([94.5, 124.5]);
    expect([used.value[9], used.value[10]]).toEqual([1, 2]);
  });

  it('have the median interval where intervals are alike, else a low one', () => {
    // 10, 10, 10, 11 s: alike.
    const alike = usableSamples([0, 10, 20, 30, 41], [1, 1, 1, 1, 1], 10);
    expect(alike.spacing_s).toBe(10);
    // Quartiles 21 and 45 s differ by 0.8 of 30 s; 21.1 and 45 s by less.
    expect(usableSamples([0, 20, 41, 71, 116], [1, 1, 1, 1, 1], 10).spacing_s).toBe(20);
    expect(usableSamples([0, 20, 41.1, 71.1, 116.1], [1, 1, 1, 1, 1], 10).spacing_s).toBeCloseTo(30, 9);
  });

  it('may be none', () => {
    const none = usableSamples([0, 10], [NaN, NaN], 10);
    expect([none.time_s.length, none.spacing_s]).toEqual([0, Infinity]);
  });
});
