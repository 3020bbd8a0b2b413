import { describe, expect, it } from 'vitest';
import { refinePeriod, spectralPeaks } from './spectral-peak.js';

/** Normally distributed noise: the sum of twelve even draws less six (variance 1), from a linear congruence. */
function noise(n: number, seed = 1): Float64Array {
  let state = seed >>> 0;
  const draw = () => (state = (Math.imul(1664525, state) + 1013904223) >>> 0) / 2 ** 32;
  return Float64Array.from({ length: n }, () => {
    let sum = -6;
    for (let k = 0; k < 12; k++) sum += draw();
    return sum;
  });
}
const n = 1440;
const step_s = 10;
const time_s = Float64Array.from({ length: n }, (_, i) => step_s * i);
const span_s = step_s * (n - 1);
const sine = (period_s: number, amplitude: number, phase = 0.3) =>
  time_s.map((t) => amplitude * Math.sin((2 * Math.PI * t) / period_s + phase));
const plus = (...columns: Float64Array[]) =>
  time_s.map((_, i) => columns.reduce((sum, column) => sum + column[i]!, 0));
const variance = (value: Float64Array) => value.reduce((sum, v) => sum + v * v, 0) / value.length;
const peaksOf = (value: Float64Array, shortest_s = 40, longest_s = 1800, falseAlarm = 1e-5) =>
  spectralPeaks(time_s, value, shortest_s, longest_s, falseAlarm, step_s);

describe('peaks of the spectrum', () => {
  it('have a sine of amplitude a the power a^2 / 2 of the whole variance, strongest first', () => {
    // Variances 2, 0.5 and 0.25 of noise: fractions 2/2.75 and 0.5/2.75.
    const value = plus(
      sine(300, 2),
      sine(110, 1),
      noise(n).map((v) => 0.5 * v),
    );
    const [first, second] = peaksOf(value);
    expect(Math.abs(first!.period_s / 300 - 1)).toBeLessThan(0.02);
    expect(Math.abs(second!.period_s / 110 - 1)).toBeLessThan(0.01);
    expect(first!.normalisedPower / (2 / variance(value))).toBeGreaterThan(0.8);
    expect(first!.normalisedPower / (2 / variance(value))).toBeLessThan(1.05);
    expect(second!.normalisedPower / (0.5 / variance(value))).toBeGreaterThan(0.75);
    expect(second!.normalisedPower / (0.5 / variance(value))).toBeLessThan(1.1);
    const powers = peaksOf(value).map(({ normalisedPower }) => normalisedPower);
    expect(powers).toEqual([...powers].sort((a, b) => b - a));
  });

  it('stand out of white noise by n a^2 / 4 over its variance', () => {
    // The mean power of noise at any frequency is its variance, that of a sine is n a^2 / 4 (Scargle 1982).
    const ratios = [1, 2, 3, 4, 5, 6].map((seed) => {
      const value = plus(sine(240, 0.5), noise(n, seed));
      const peak = peaksOf(value).find(({ period_s }) => Math.abs(period_s / 240 - 1) < 0.02)!;
      return peak.prominence / (n / 16);
    });
    const mean = ratios.reduce((a, b) => a + b) / ratios.length;
    expect(mean).toBeGreaterThan(0.75);
    expect(mean).toBeLessThan(1.35);
  });

  it('do not lift the background they stand out of', () => {
    // A sine with half of the variance of the noise: still n a^2 / 4 over the noise alone, not over both.
    const mean = (amplitude: number) => {
      const found = [1, 2, 3, 4].map((seed) => {
        const peaks = peaksOf(plus(sine(240, amplitude), noise(n, seed)));
        return peaks.find(({ period_s }) => Math.abs(period_s / 240 - 1) < 0.02)!.prominence;
      });
      return found.reduce((a, b) => a + b) / found.length;
    };
    expect(mean(1) / (n / 4)).toBeGreaterThan(0.75);
    expect(mean(1) / (n / 4)).toBeLessThan(1.35);
  });

  it('stand out of coloured noise by its own spectrum', () => {
    // First-order noise x = f x + e has the power variance(e) / (1 - 2 f cos(w) + f^2) at w per sample.
    const f = 0.9;
    for (const period_s of [100, 400]) {
      const ratios = [1, 2, 3, 4, 5, 6].map((seed) => {
        const coloured = noise(n, seed);
        for (let i = 1; i < n; i++) coloured[i]! += f * coloured[i - 1]!;
        const level = 1 / (1 - 2 * f * Math.cos((2 * Math.PI * step_s) / period_s) + f * f);
        const amplitude = Math.sqrt((4 * 60 * level) / n);
        const peak = peaksOf(plus(sine(period_s, amplitude), coloured)).find(
          (one) => Math.abs(one.period_s / period_s - 1) < 0.03,
        )!;
        return peak.prominence / 60;
      });
      const mean = ratios.reduce((a, b) => a + b) / ratios.length;
      expect(mean).toBeGreaterThan(0.65);
      expect(mean).toBeLessThan(1.5);
    }
  });

  it('have the chance that one of the independent frequencies of noise reaches as high', () => {
    // Frequencies 1/span apart between the shortest and the longest period.
    const independent = span_s * (1 / 40 - 1 / 1800);
    const value = plus(sine(240, 0.3), noise(n, 3));
    const peaks = peaksOf(value, 40, 1800, 1);
    expect(peaks.length).toBeGreaterThan(20);
    for (const { prominence, falseAlarm } of peaks) {
      const expected = 1 - (1 - Math.exp(-prominence)) ** independent;
      if (expected < 1e-9 || expected > 0.9) continue;
      expect(Math.abs(falseAlarm / expected - 1)).toBeLessThan(0.05);
    }
  });

  it('are those under the false-alarm probability allowed', () => {
    const value = plus(sine(240, 0.3), noise(n, 3));
    const all = peaksOf(value, 40, 1800, 1);
    for (const allowed of [0.5, 1e-3])
      expect(peaksOf(value, 40, 1800, allowed)).toEqual(all.filter((one) => one.falseAlarm <= allowed));
  });

  it('lie within the periods sought', () => {
    const value = plus(sine(300, 2), sine(110, 1));
    for (const { period_s } of peaksOf(value, 40, 1800, 1)) {
      expect(period_s).toBeGreaterThanOrEqual(40);
      expect(period_s).toBeLessThanOrEqual(1800);
    }
    const long = peaksOf(value, 200, 1800);
    expect(Math.abs(long[0]!.period_s / 300 - 1)).toBeLessThan(0.02);
    expect(long.every(({ period_s }) => period_s >= 200)).toBe(true);
    const short = peaksOf(value, 40, 200, 1);
    expect(short.every(({ period_s }) => period_s <= 200)).toBe(true);
    expect(Math.abs(short[0]!.period_s / 110 - 1)).toBeLessThan(0.01);
  });

  it('do not depend on the unit, and are none where nothing moves', () => {
    const value = plus(sine(240, 0.5), noise(n, 2));
    const [one] = peaksOf(value);
    const [other] = peaksOf(value.map((v) => 1e4 * v));
    expect(other!.prominence / one!.prominence).toBeCloseTo(1, 6);
    expect(other!.normalisedPower).toBeCloseTo(one!.normalisedPower, 9);
    expect(peaksOf(new Float64Array(n))).toEqual([]);
  });

  it('are seldom found in noise alone', () => {
    let found = 0;
    for (let seed = 1; seed <= 12; seed++) found += peaksOf(noise(n, seed), 40, 1800, 1e-3).length;
    expect(found).toBeLessThanOrEqual(1);
  });
});

describe('a period moved to the top of its peak', () => {
  it('goes up to a sixth of 1/span at first, and a quarter of that then', () => {
    const value = sine(300, 1, 0);
    // 1.2 sixths away: a sixth and the rest of it are reached.
    for (const sign of [1, -1]) {
      const from_s = 1 / (1 / 300 + (sign * 1.2) / (6 * span_s));
      expect(Math.abs(refinePeriod(time_s, value, from_s) / 300 - 1)).toBeLessThan(4e-4);
      // Two sixths away the parabolas point further than they may go: a sixth, then a quarter of one.
      const far_s = 1 / (1 / 300 + (sign * 2) / (6 * span_s));
      const moved = Math.abs(1 / refinePeriod(time_s, value, far_s) - 1 / far_s) * 6 * span_s;
      expect(moved).toBeCloseTo(1.25, 2);
    }
  });

  it('stays where nothing bends', () => {
    expect(refinePeriod(time_s, new Float64Array(n), 300)).toBeCloseTo(300, 9);
  });
});
