import { describe, expect, it } from 'vitest';
import { halfCycles } from './half-cycles.js';
import { indexReadings } from './index-readings.js';
import { phaseConcentration } from './phase-concentration.js';
import { readingResolution } from '../reading-resolution.js';
import {
  forsmanStattinSimilarity,
  haegglundLoadFraction,
  miaoSeborgRatio,
  thornhillRegularity,
} from './regularity-indices.js';
import { swingTooSlow } from '../slow-swing.js';
import { refinePeriod } from '../peak/spectral-peak.js';
import { usableSamples } from '../usable-samples.js';

const column = (n: number, of: (i: number) => number) => Float64Array.from({ length: n }, (_, i) => of(i));
const sine = (n: number, step_s: number, period_s: number, phase = 0) =>
  column(n, (i) => Math.sin((2 * Math.PI * i * step_s) / period_s + phase));

describe('half-cycles', () => {
  it('lie between zero crossings found on straight lines, with the area under them', () => {
    // From (0, -1) to (1, 1): crossing at 0.5; 1, 1, then -1: crossing at 2.5. Area: two triangles of 0.25 and one square.
    const [half, ...others] = halfCycles(Float64Array.of(-1, 1, 1, -1, -1), 1);
    expect(others).toEqual([]);
    expect(half).toEqual({ from_s: 0.5, length_s: 2, area: 1.5 });
    // The same at 10 s, and turned over.
    expect(halfCycles(Float64Array.of(1, -1, -1, 1, 1), 10)).toEqual([
      { from_s: 5, length_s: 20, area: -15 },
    ]);
  });

  it('are as long as half of a period, with an area of period over pi', () => {
    const halves = halfCycles(sine(601, 1, 60), 1);
    // Ten cycles from zero: twenty halves of which the first began with the trace.
    expect(halves.length).toBeGreaterThanOrEqual(18);
    for (const { length_s, area } of halves) {
      expect(length_s).toBeCloseTo(30, 1);
      expect(Math.abs(area) / (60 / Math.PI)).toBeCloseTo(1, 2);
    }
  });

  it('end uncounted in a hole', () => {
    expect(halfCycles(Float64Array.of(-1, 1, NaN, 1, -1, -1, 1), 1)).toEqual([
      { from_s: 3.5, length_s: 2, area: -1.5 },
    ]);
  });
});

describe('the regularity indices', () => {
  const half = (area: number, length_s = 30) => ({ from_s: 0, length_s, area });

  it('count loads that reach amplitude times period over pi, against the room for them', () => {
    // Limit 2 * 60 / pi = 38.2; room for 10 in 300 s.
    const halves = [half(39), half(-39), half(38), half(50), half(-1)];
    expect(haegglundLoadFraction(halves, 2, 60, 300)).toBeCloseTo(0.3, 12);
    expect(haegglundLoadFraction(halves, 0.01, 60, 60)).toBe(1);
    expect(haegglundLoadFraction(halves, 2, 60, 0)).toBe(0);
  });

  it('find half-cycles alike within 0.6 of the area and 0.75 of the length, over at least four pairs', () => {
    const fractionOf = (areas: number[], lengths = areas.map(() => 30)) =>
      forsmanStattinSimilarity(areas.map((area, i) => half(area, lengths[i])));
    expect(fractionOf([1, 1, 1, 1, 1, 1])).toBe(1);
    expect(fractionOf([1, 1, 1, 1, 1])).toBeNull();
    // Pairs: (1, 0.61), (1, 1), (0.61, 0.36), (1, 1).
    expect(fractionOf([1, 1, 0.61, 1, 0.36, 1])).toBe(0.75);
    expect(fractionOf([0.61, 1, 1, 1, 2, 1])).toBe(0.75);
    expect(fractionOf([1, 1, 1, 1, 1, 1], [30, 30, 23, 30, 17, 30])).toBe(0.75);
    expect(fractionOf([1, 1, 1, 1, 1, 1], [23, 30, 30, 30, 41, 30])).toBe(0.75);
  });

  it('have for crossings every 30 s by turns 27 and 33 s a regularity of 60 over three deviations', () => {
    // Crossings at 13.5, 40.5 + 33... of a trace that is +1 and -1 by turns; periods 54 and 66 s by turns.
    const at: number[] = [];
    for (let t = 15, k = 0; k < 12; k++) {
      at.push(t);
      t += k % 2 ? 33 : 27;
    }
    const rho = column(400, (t) => (at.filter((each) => each <= t + 0.5).length % 2 ? -1 : 1));
    const { regularity, period_s, intervals } = thornhillRegularity(rho, 1)!;
    expect(intervals).toBe(11);
    // Six of 54 and five of 66.
    const mean = (6 * 54 + 5 * 66) / 11;
    const deviation = Math.sqrt((6 * (54 - mean) ** 2 + 5 * (66 - mean) ** 2) / 10);
    expect(period_s).toBeCloseTo(mean, 6);
    expect(regularity).toBeCloseTo(mean / (3 * deviation), 6);
    expect(thornhillRegularity(rho.subarray(0, 120), 1)).toBeNull();
    expect(thornhillRegularity(sine(400, 1, 40, 1), 1)!.regularity).toBeGreaterThan(50);
  });

  it('have for a cosine that decays by half each cycle the ratio of its extremes', () => {
    const decay = (t: number) => 0.5 ** (t / 60);
    const rho = column(200, (t) => decay(t) * Math.cos((2 * Math.PI * t) / 60));
    const [low1, high1, low2] = [-decay(30), decay(60), -decay(90)];
    const expected = (high1 - (low1 + low2) / 2) / ((1 + high1) / 2 - low1);
    expect(miaoSeborgRatio(rho, 1, 60)!).toBeCloseTo(expected, 1);
    expect(
      miaoSeborgRatio(
        column(200, (t) => Math.cos((2 * Math.PI * t) / 60)),
        1,
        60,
      )!,
    ).toBeCloseTo(1, 9);
    expect(miaoSeborgRatio(rho.subarray(0, 100), 1, 60)).toBeNull();
  });
});

describe('the concentration of phase', () => {
  const time_s = column(720, (i) => 10 * i);

  it('is 1 where a cycle keeps its phase, and 0 where half of it is opposite', () => {
    expect(phaseConcentration(time_s, sine(720, 10, 360), 360)).toBeCloseTo(1, 3);
    const turned = sine(720, 10, 360).map((v, i) => (i < 360 ? v : -v));
    expect(phaseConcentration(time_s, turned, 360)).toBeLessThan(0.02);
    expect(phaseConcentration(time_s, new Float64Array(720), 360)).toBe(0);
  });

  it('is the root of a half where the second half is a quarter of a cycle late', () => {
    const late = column(720, (i) => Math.sin((2 * Math.PI * i * 10) / 360 - (i < 360 ? 0 : Math.PI / 2)));
    expect(phaseConcentration(time_s, late, 360)).toBeCloseTo(Math.SQRT1_2, 2);
  });
});

describe('the resolution of a reading', () => {
  it('is its smallest step where all values are whole steps apart', () => {
    expect(readingResolution(column(200, (i) => Math.round(20 * Math.sin(i)) / 10))).toBeCloseTo(0.1, 6);
    expect(readingResolution(Float64Array.of(1, 1.5, 3, 2.5))).toBeCloseTo(0.5, 12);
  });

  it('is none of values that lie anyhow', () => {
    expect(readingResolution(column(200, (i) => Math.sin(i * i)))).toBe(0);
    // Whole halves at first, and a value between them later.
    expect(readingResolution(column(60, (i) => (i === 55 ? 0.7 : (i % 5) / 2)))).toBe(0);
  });
});

describe('a swing too slow to judge', () => {
  const time_s = column(720, (i) => 10 * i);

  it('is one of more than one and a half and fewer than four cycles', () => {
    const slow = (cycles: number) => swingTooSlow(time_s, sine(720, 10, 7200 / cycles), 7190, 4, 7200);
    expect(slow(2)).toBe(true);
    expect(slow(3.5)).toBe(true);
    expect(slow(8)).toBe(false);
  });

  it('is most of what moves, and no longer than twice the longest period asked for', () => {
    expect(
      swingTooSlow(
        time_s,
        column(720, (i) => Math.sin(i * i)),
        7190,
        4,
        7200,
      ),
    ).toBe(false);
    expect(
      swingTooSlow(
        time_s,
        column(720, (i) => i),
        7190,
        4,
        7200,
      ),
    ).toBe(false);
    expect(swingTooSlow(time_s, sine(720, 10, 3600), 7190, 4, 900)).toBe(false);
  });
});

describe('usable samples', () => {
  it('are the finite ones, at the interval of the sensor', () => {
    const used = usableSamples([0, 10, 20, 30, 40], [1, NaN, 3, 4, 5], 10);
    expect([...used.time_s]).toEqual([0, 20, 30, 40]);
    expect([...used.value]).toEqual([1, 3, 4, 5]);
    expect(used.spacing_s).toBe(10);
    expect(usableSamples([5], [1], 10).spacing_s).toBe(Infinity);
  });

  it('keep the interval of the sensor where most are lost', () => {
    // About a third is left, at random places 10 s apart or a multiple of it.
    const kept = Array.from({ length: 2000 }, (_, i) => 10 * i).filter((t) => Math.sin(t * t) > 0.5);
    expect(kept.length).toBeLessThan(800);
    const ones = kept.map(() => 1);
    expect(usableSamples(kept, ones, 10).spacing_s).toBe(10);
  });

  it('are averaged where they come twice as fast as needed, and more than a hundred of them', () => {
    const fast = (n: number) =>
      usableSamples(
        column(n, (i) => i),
        column(n, (i) => i),
        10,
      );
    expect(fast(100).spacing_s).toBe(1);
    const averaged = fast(200);
    expect(averaged.spacing_s).toBe(10);
    expect(averaged.time_s).toHaveLength(20);
    expect([averaged.time_s[0], averaged.value[0], averaged.value[19]]).toEqual([4.5, 4.5, 194.5]);
    expect(
      usableSamples(
        column(200, (i) => 5 * i),
        column(200, () => 1),
        10,
      ).spacing_s,
    ).toBe(5);
  });
});

describe('the refined period', () => {
  it('is that of the sine from a start 0.6 % off', () => {
    const time_s = column(720, (i) => 10 * i);
    for (const off of [0.994, 1, 1.006])
      expect(refinePeriod(time_s, sine(720, 10, 300), 300 * off) / 300).toBeCloseTo(1, 3);
  });
});

describe('the indices as a reader sees them', () => {
  it('agree above their limits, the false-alarm probability under its own', () => {
    const agree = (indices: Record<string, number | null>) =>
      Object.fromEntries(indexReadings(indices).map(({ key, agrees }) => [key, agrees]));
    // Published limits: Thornhill 1, Miao and Seborg 0.5, Forsman and Stattin 0.4.
    expect(
      agree({
        thornhillRegularity: 1.01,
        miaoSeborgDecay: 0.51,
        forsmanStattinSimilarity: 0.41,
        lombScargleFalseAlarm: 1e-6,
      }),
    ).toEqual({
      thornhillRegularity: true,
      miaoSeborgDecay: true,
      forsmanStattinSimilarity: true,
      lombScargleFalseAlarm: true,
    });
    expect(
      agree({
        thornhillRegularity: 0.99,
        miaoSeborgDecay: 0.5,
        forsmanStattinSimilarity: 0.39,
        lombScargleFalseAlarm: 1e-4,
      }),
    ).toEqual({
      thornhillRegularity: false,
      miaoSeborgDecay: false,
      forsmanStattinSimilarity: false,
      lombScargleFalseAlarm: false,
    });
  });

  it('leave out what was not computed', () => {
    expect(indexReadings({ thornhillRegularity: null, miaoSeborgDecay: NaN, other: 1 })).toEqual([]);
  });
});
