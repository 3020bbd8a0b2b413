import { describe, expect, it } from 'vitest';
import { normalDraws, seededRandom } from '../../../numerics/index.js';
import { detectOscillation } from '../detect-oscillation.js';
import { examinePeak } from './examine-peak.js';

const column = (n: number, of: (i: number) => number) => Float64Array.from({ length: n }, (_, i) => of(i));
const peak = (period_s: number, normalisedPower = 0.9) => ({
  period_s,
  normalisedPower,
  prominence: 100,
  falseAlarm: 1e-9,
});
const spacing_s = 10;
const sine = (time_s: Float64Array, period_s: number) =>
  time_s.map((t) => Math.sin((2 * Math.PI * t) / period_s));
const names = {
  thornhill: 'thornhillRegularity',
  decay: 'miaoSeborgDecay',
  similarity: 'forsmanStattinSimilarity',
  loads: 'haegglundLoadFraction',
};

describe('a peak held against the other indices', () => {
  const time_s = column(720, (i) => spacing_s * i);
  const examined = (value: Float64Array, period_s: number) =>
    examinePeak(time_s, value, spacing_s, peak(period_s));
  const read = (indices: object, name: string) => (indices as Record<string, number | null>)[name];

  it('of a pure sine has a regular, undamped correlation and half-cycles all alike and full', () => {
    const { period_s, agreed, indices } = examined(sine(time_s, 240), 241);
    expect(agreed).toBe(true);
    expect(Math.abs(period_s / 240 - 1)).toBeLessThan(1e-3);
    expect(read(indices, names.thornhill)!).toBeGreaterThan(5);
    expect(Math.abs(read(indices, 'thornhillPeriod_s')! / 240 - 1)).toBeLessThan(0.02);
    expect(read(indices, names.decay)!).toBeGreaterThan(0.95);
    expect(read(indices, names.similarity)).toBe(1);
    expect(read(indices, names.loads)!).toBeGreaterThan(0.9);
    expect(read(indices, 'lombScarglePower')).toBe(0.9);
    expect(read(indices, 'lombScargleFalseAlarm')).toBe(1e-9);
    expect(read(indices, 'lombScargleProminence')).toBe(100);
    expect(read(indices, 'phaseKeeping')).toBeUndefined();
  });

  it('agrees where more than half of the indices do, by their published limits, noise or not', () => {
    const outcomes = new Set<boolean>();
    for (let seed = 1; seed <= 40; seed++) {
      const draw = normalDraws(seededRandom(seed));
      // More and more noise over the same cycle.
      const value = sine(time_s, 240).map((v) => v + (seed / 10) * draw());
      const { period_s, agreed, indices } = examined(value, 240);
      const of = (name: string) => read(indices, name) ?? null;
      const thornhill = of(names.thornhill);
      const decay = of(names.decay);
      const similarity = of(names.similarity);
      const loads = of(names.loads);
      const votes = [
        thornhill === null ? null : thornhill > 1 && Math.abs(of('thornhillPeriod_s')! / period_s - 1) < 0.25,
        decay === null ? null : decay > 0.5,
        similarity === null ? null : similarity > 0.4,
        loads === null ? null : loads > 0.6,
      ].filter((vote) => vote !== null);
      expect(agreed).toBe(votes.filter(Boolean).length > votes.length / 2);
      outcomes.add(agreed);
    }
    expect(outcomes.size).toBe(2);
  });

  it('of a burst of four cycles in thirty finds few loads', () => {
    const burst = sine(time_s, 240).map((v, i) => (i < 96 ? v : 0));
    const { agreed, indices } = examined(burst, 240);
    // Eight half-cycles of sixty.
    expect(read(indices, names.loads)!).toBeLessThan(0.25);
    expect(agreed).toBe(false);
  });

  it('has half-cycles from 3.5 samples a cycle on', () => {
    const coarse = (period_s: number) => examined(sine(time_s, period_s), period_s).indices;
    expect(read(coarse(34), names.similarity)).toBeNull();
    expect(read(coarse(34), names.loads)).toBeNull();
    // Those that cannot be computed have no vote.
    const slow = examined(sine(time_s, 34), 34);
    expect(read(slow.indices, names.decay)!).toBeGreaterThan(0.5);
    expect(slow.agreed).toBe(true);
    expect(read(coarse(36), names.similarity)).not.toBeNull();
    expect(read(coarse(36), names.loads)).not.toBeNull();
  });

  it('caps the prominence of a peak over no noise at all', () => {
    const { indices } = examinePeak(time_s, sine(time_s, 240), spacing_s, { ...peak(240), prominence: 1e12 });
    expect(read(indices, 'lombScargleProminence')).toBe(1e9);
  });

  it('is known by its phase alone where over half of the samples are missing', () => {
    const kept = (wanted: (i: number) => boolean) => {
      const places = Array.from({ length: 720 }, (_, i) => i).filter(wanted);
      return Float64Array.from(places, (i) => spacing_s * i);
    };
    const sparse = kept((i) => i % 5 < 2);
    const seen = examinePeak(sparse, sine(sparse, 240), spacing_s, peak(240));
    expect(seen.agreed).toBe(true);
    expect(read(seen.indices, 'phaseKeeping')!).toBeGreaterThan(0.99);
    expect(read(seen.indices, names.decay)).toBeUndefined();
    // The peak must explain over 0.4 of the variance.
    expect(examinePeak(sparse, sine(sparse, 240), spacing_s, peak(240, 0.4)).agreed).toBe(false);
    expect(examinePeak(sparse, sine(sparse, 240), spacing_s, peak(240, 0.401)).agreed).toBe(true);
    const turned = sine(sparse, 240).map((v, i) => (i < sparse.length / 2 ? v : -v));
    expect(examinePeak(sparse, turned, spacing_s, peak(240)).agreed).toBe(false);
    const dense = kept((i) => i % 5 < 3);
    expect(
      read(examinePeak(dense, sine(dense, 240), spacing_s, peak(240)).indices, names.decay),
    ).not.toBeUndefined();
  });
});

describe('an oscillation at the edges of what is judged', () => {
  const time_s = column(720, (i) => spacing_s * i);
  const judge = (value: Float64Array, options = {}) => detectOscillation({ time_s, value }, options);

  it('is none, and known to be none, where nothing moves or only a ramp does', () => {
    const nothing = { oscillating: false, period_s: null, amplitude: null, cycles: null, crest_s: null };
    const none = { lombScargleFalseAlarm: 1, lombScarglePower: null };
    expect(judge(column(720, () => 6))).toEqual({ ...nothing, indices: none });
    expect(judge(column(720, (i) => 6 + 0.001 * i))).toEqual({ ...nothing, indices: none });
  });

  it('is found on a ramp and beside a step', () => {
    const on = (base: (i: number) => number) =>
      judge(column(720, (i) => base(i) + Math.sin((2 * Math.PI * i) / 24)));
    const ramp = on((i) => 0.01 * i);
    for (const seen of [ramp, on((i) => (i < 300 ? 0 : 5))]) {
      expect(seen.oscillating).toBe(true);
      expect(Math.abs(seen.period_s! / 240 - 1)).toBeLessThan(0.01);
      expect(seen.cycles!).toBeCloseTo(7190 / seen.period_s!, 9);
    }
    expect(Math.abs(ramp.amplitude! - 1)).toBeLessThan(0.05);
  });

  it('needs longest periods over 1.2 times the shortest', () => {
    const value = column(720, (i) => Math.sin((2 * Math.PI * i) / 24));
    expect(judge(value, { shortestPeriod_s: 200, longestPeriod_s: 240 }).oscillating).toBeNull();
    expect(judge(value, { shortestPeriod_s: 200, longestPeriod_s: 260 }).oscillating).toBe(true);
    expect(judge(value, { shortestPeriod_s: 200, longestPeriod_s: 260 }).indices).not.toEqual({});
    expect(judge(value, { shortestPeriod_s: 200, longestPeriod_s: 240 }).indices).toEqual({});
  });

  it('may be a slow swing of too few cycles, of which nothing is said', () => {
    const slow = (cycles: number) => judge(column(720, (i) => Math.sin((2 * Math.PI * cycles * i) / 719)));
    expect(slow(2.5).oscillating).toBeNull();
    expect(slow(6).oscillating).toBe(true);
  });

  it('needs 0.7 of the step in which it is read', () => {
    // A drift of ten steps of 1 K in two hours, read in steps: a saw of half a step.
    const saw = judge(column(720, (i) => Math.round((10 * i) / 719)));
    expect(saw.oscillating).not.toBe(true);
    // The same swing by 2 K to either side is over it.
    const wide = judge(column(720, (i) => Math.round(2 * Math.sin((2 * Math.PI * i) / 24))));
    expect(wide.oscillating).toBe(true);
  });
});
