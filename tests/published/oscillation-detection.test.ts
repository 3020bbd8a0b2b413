import { describe, expect, it } from 'vitest';
import { detectOscillation } from '@coldrounds/core';
import { evenTimes, medianOf, printedSeed, quietKinds, randomSource } from './random-series.js';

const runs = 1000;
const seed = printedSeed('oscillation detection');
const times = evenTimes(720);
/** 0.1 K: the resolution of a common temperature reading. */
const quantised = (value: number) => Math.round(value * 10) / 10;

function tried(
  offset: number,
  one: (random: ReturnType<typeof randomSource>) => { found: boolean; period?: number; amplitude?: number },
) {
  const periods: number[] = [];
  const amplitudes: number[] = [];
  let found = 0;
  for (let run = 0; run < runs; run++) {
    const result = one(randomSource(seed + offset * 1_000_003 + run * 7919));
    if (!result.found) continue;
    found++;
    if (result.period !== undefined) periods.push(result.period);
    if (result.amplitude !== undefined) amplitudes.push(result.amplitude);
  }
  return {
    share: found / runs,
    period: medianOf(periods),
    amplitude: medianOf(amplitudes),
    worst: Math.max(...periods),
  };
}

/** A sine with 10 or more cycles in the two hours, periods even in logarithm over 40 s .. 720 s. */
function sine(random: ReturnType<typeof randomSource>) {
  const period = 40 * (720 / 40) ** random.uniform();
  const phase = 2 * Math.PI * random.uniform();
  return { period, value: (t: number) => Math.sin((2 * Math.PI * t) / period + phase) };
}

function compare(result: ReturnType<typeof detectOscillation>, period: number, amplitude = 1) {
  if (!result.oscillating) return { found: false };
  return {
    found: true,
    period: Math.abs(result.period_s! / period - 1),
    amplitude: Math.abs(result.amplitude! / amplitude - 1),
  };
}

describe('an oscillation is found', () => {
  it('in 95 % of 1,000 series with an amplitude of the noise standard deviation, period within 3 % and amplitude within 15 %', () => {
    const result = tried(1, (random) => {
      const { period, value } = sine(random);
      return compare(
        detectOscillation({ time_s: times, value: times.map((t) => value(t) + random.normal()) }),
        period,
      );
    });
    console.log('amplitude = noise:', result);
    expect(result.share).toBeGreaterThanOrEqual(0.95);
    expect(result.period).toBeLessThan(0.03);
    expect(result.amplitude).toBeLessThan(0.15);
  });

  it('where only a tenth of the samples is left, at random, period within 3 %', () => {
    const result = tried(2, (random) => {
      const { period, value } = sine(random);
      const kept = times.filter(() => random.uniform() < 0.1);
      return compare(
        detectOscillation({ time_s: kept, value: kept.map((t) => value(t) + 0.2 * random.normal()) }),
        period,
      );
    });
    console.log('a tenth of the samples:', result);
    expect(result.share).toBeGreaterThanOrEqual(0.95);
    expect(result.period).toBeLessThan(0.03);
  });

  it('with 30 % of the samples missing in gaps', () => {
    const result = tried(3, (random) => {
      const { period, value } = sine(random);
      const kept = new Array<boolean>(720).fill(true);
      for (let lost = 0; lost < 216;) {
        const from = Math.floor(random.uniform() * 720);
        for (let i = from; i < Math.min(720, from + 5 + 60 * random.uniform()) && lost < 216; i++)
          if (kept[i]) {
            kept[i] = false;
            lost++;
          }
      }
      const left = times.filter((_, i) => kept[i]);
      return compare(
        detectOscillation({ time_s: left, value: left.map((t) => value(t) + 0.7 * random.normal()) }),
        period,
      );
    });
    console.log('gaps of 30 %:', result);
    expect(result.share).toBeGreaterThanOrEqual(0.95);
    expect(result.period).toBeLessThan(0.03);
  });

  it('at uneven times, read to 0.1 K, on a slow drift', () => {
    const result = tried(4, (random) => {
      const { period, value } = sine(random);
      const uneven = times.map((t) => t + 9 * (random.uniform() - 0.5));
      const drift = 10 * (random.uniform() - 0.5);
      const series = uneven.map((t) =>
        quantised(0.4 * value(t) + 0.2 * random.normal() + (drift * t) / 7200),
      );
      return compare(detectOscillation({ time_s: uneven, value: series }), period, 0.4);
    });
    console.log('uneven, quantised, drifting:', result);
    expect(result.share).toBeGreaterThanOrEqual(0.95);
    expect(result.period).toBeLessThan(0.03);
    expect(result.amplitude).toBeLessThan(0.15);
  });

  it('with a period of 30 min in two and a half hours', () => {
    const long = evenTimes(900);
    const value = long.map((t) => Math.sin((2 * Math.PI * t) / 1800));
    const result = detectOscillation({ time_s: long, value });
    expect(result.oscillating).toBe(true);
    expect(result.period_s).toBeCloseTo(1800, -2);
  });
});

describe('at most 2 % of 1,000 series are called oscillating', () => {
  Object.entries(quietKinds).forEach(([kind, make], index) => {
    for (const coarse of [false, true]) {
      it(`of ${kind}${coarse ? ' read to 0.1 K' : ''}`, () => {
        const result = tried(10 + index, (random) => {
          const value = make(random, times);
          return {
            found:
              detectOscillation({ time_s: times, value: coarse ? value.map(quantised) : value })
                .oscillating === true,
          };
        });
        console.log(
          `${kind}${coarse ? ' read to 0.1 K' : ''}: ${(100 * result.share).toFixed(1)} % called oscillating`,
        );
        expect(result.share).toBeLessThanOrEqual(0.02);
      });
    }
  });

  it('of any of these with a tenth of the samples left', () => {
    const kinds = Object.values(quietKinds);
    const result = tried(30, (random) => {
      const value = kinds[Math.floor(random.uniform() * kinds.length)](random, times);
      const kept = times.map(() => (random.uniform() < 0.1 ? 1 : 0));
      const time_s = times.filter((_, i) => kept[i] === 1);
      return {
        found:
          detectOscillation({ time_s, value: value.filter((_, i) => kept[i] === 1) }).oscillating === true,
      };
    });
    expect(result.share).toBeLessThanOrEqual(0.02);
  });
});

describe('the verdict', () => {
  it('is unknown under four cycles, with no samples, and with too few', () => {
    const value = times.map((t) => Math.sin((2 * Math.PI * t) / 2400));
    expect(detectOscillation({ time_s: times, value }).oscillating).toBeNull();
    expect(detectOscillation({ time_s: [], value: [] }).oscillating).toBeNull();
    const few = evenTimes(39);
    expect(
      detectOscillation({ time_s: few, value: few.map((t) => Math.sin(t / 10)) }).oscillating,
    ).toBeNull();
    const absent = times.map(() => NaN);
    expect(detectOscillation({ time_s: times, value: absent }).oscillating).toBeNull();
  });

  it('is no for a constant and for a straight line, however coarsely read', () => {
    expect(detectOscillation({ time_s: times, value: times.map(() => 6) }).oscillating).toBe(false);
    expect(detectOscillation({ time_s: times, value: times.map((t) => t / 900) }).oscillating).toBe(false);
    expect(
      detectOscillation({ time_s: times, value: times.map((t) => quantised(t / 900)) }).oscillating,
    ).toBe(false);
  });

  it('names the argument that is wrong', () => {
    expect(() => detectOscillation({ time_s: [0, 1], value: [1] })).toThrow(/value/);
    expect(() => detectOscillation({ time_s: [1, 0], value: [1, 1] })).toThrow(/time_s/);
    expect(() => detectOscillation({ time_s: [0, NaN], value: [1, 1] })).toThrow(/time_s/);
  });

  it('does not depend on the unit or the offset of the value', () => {
    const random = randomSource(seed);
    const value = times.map((t) => Math.sin(t / 30) + random.normal());
    const one = detectOscillation({ time_s: times, value });
    const other = detectOscillation({
      time_s: times.map((t) => t + 1.7e9),
      value: value.map((v) => 1.8 * v + 459.67),
    });
    expect(other.period_s).toBeCloseTo(one.period_s!, 3);
    expect(other.amplitude! / one.amplitude!).toBeCloseTo(1.8, 6);
  });
});
