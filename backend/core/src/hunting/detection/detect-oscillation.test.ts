import { describe, expect, it } from 'vitest';
import { filled, normalDraws, seededRandom } from '../../numerics/index.js';
import { detectOscillation } from './detect-oscillation.js';

/** Twelve hours every 10 s: a sine of 300 s that makes up a given fraction of the variance, the rest white noise. */
function noisySine(fraction: number, seed: number) {
  const normal = normalDraws(seededRandom(seed));
  // The variance of a sine is half of its amplitude squared.
  const amplitude = Math.sqrt((2 * fraction) / (1 - fraction));
  const time_s = filled(4320, (i) => 10 * i);
  const value = time_s.map((t) => amplitude * Math.sin((2 * Math.PI * t) / 300) + normal());
  return detectOscillation({ time_s, value });
}

describe('a cycle in noise', () => {
  it('that makes up 5 % of what moves is not called oscillation, however sure it is that it is there', () => {
    for (let seed = 1; seed <= 10; seed++) expect(noisySine(0.05, seed).oscillating).toBe(false);
  });

  it('that makes up 12 % is, with its own period and amplitude', () => {
    for (let seed = 1; seed <= 10; seed++) {
      const found = noisySine(0.12, seed);
      expect(found.oscillating).toBe(true);
      expect(Math.abs(found.period_s! / 300 - 1)).toBeLessThan(0.01);
      // One standard error of a fitted amplitude is the noise times the root of 2 / n, 0.0215.
      expect(Math.abs(found.amplitude! - Math.sqrt(0.24 / 0.88))).toBeLessThan(4 * 0.0215);
      expect(found.cycles! * found.period_s!).toBeCloseTo(43_190, 6);
    }
  });
});

describe('the periods sought', () => {
  const time_s = filled(720, (i) => 10 * i);
  const sine = (period_s: number) => time_s.map((t) => 5 + Math.sin((2 * Math.PI * t) / period_s));

  it('are those asked for', () => {
    expect(detectOscillation({ time_s, value: sine(120) }).oscillating).toBe(true);
    expect(detectOscillation({ time_s, value: sine(120) }, { shortestPeriod_s: 200 }).oscillating).not.toBe(
      true,
    );
    expect(detectOscillation({ time_s, value: sine(600) }, { longestPeriod_s: 300 }).oscillating).not.toBe(
      true,
    );
    expect(detectOscillation({ time_s, value: sine(600) }, { longestPeriod_s: 700 }).oscillating).toBe(true);
  });

  it('are as many cycles as asked for', () => {
    // Six cycles of 20 min in two hours.
    expect(detectOscillation({ time_s, value: sine(1200) }).oscillating).toBe(true);
    expect(detectOscillation({ time_s, value: sine(1200) }, { fewestCycles: 8 }).oscillating).toBeNull();
  });

  it('need 40 samples, or as many as asked for', () => {
    const first = (n: number) => ({ time_s: time_s.slice(0, n), value: sine(60).slice(0, n) });
    expect(detectOscillation(first(39)).oscillating).toBeNull();
    expect(detectOscillation(first(40)).oscillating).toBe(true);
    expect(detectOscillation(first(40), { fewestSamples: 41 }).oscillating).toBeNull();
  });

  it('have a crest where the sine has one, nearest to the middle', () => {
    // sin(2 pi t / 120) has its crests at 30 s and every 120 s from there; the middle is 3595 s.
    const { crest_s } = detectOscillation({ time_s, value: sine(120) });
    expect(Math.abs(crest_s! - 3630)).toBeLessThan(1);
  });
});
