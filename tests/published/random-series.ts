import { inject } from 'vitest';
import { normalDraws, seededRandom } from '../../backend/core/src/numerics/index.js';

/** Random series for checks on detection. Seeded, so that a failure can be run again: `COLDROUNDS_SEED=123 npm test`. */
export interface RandomSource {
  uniform: () => number;
  normal: () => number;
}

/** Uniform and standard normal numbers from one seeded stream. */
export function randomSource(seed: number): RandomSource {
  const uniform = seededRandom(seed);
  return { uniform, normal: normalDraws(uniform) };
}

/** The seed of all tests of this run, always the same unless `COLDROUNDS_SEED` names another (vitest.config.ts); printed. */
export function printedSeed(title: string): number {
  const seed = inject('seed');
  console.log(`${title}: seed ${seed}`);
  return seed;
}

export const evenTimes = (samples: number, interval_s = 10): Float64Array =>
  Float64Array.from({ length: samples }, (_, i) => i * interval_s);

type Make = (random: RandomSource, time_s: Float64Array) => Float64Array;

/** Noise under the shapes: in a fifth of the series none, else 0.01 to 1 over a logarithmic range. */
const level = ({ uniform }: RandomSource): number => (uniform() < 0.2 ? 0 : 10 ** (-2 + 2 * uniform()));

/** What does not oscillate, each with random size, place and noise. */
export const quietKinds: Record<string, Make> = {
  'white noise': (random, time_s) => time_s.map(() => random.normal()),
  'AR(1) noise with 0.9': (random, time_s) => {
    let x = random.normal() / Math.sqrt(1 - 0.81);
    return time_s.map(() => (x = 0.9 * x + random.normal()));
  },
  'a random walk': (random, time_s) => {
    let x = 0;
    return time_s.map(() => (x += random.normal()));
  },
  'a step': (random, time_s) => {
    const at = random.uniform() * time_s.length;
    const size = 10 * random.uniform();
    const noise = level(random);
    return time_s.map((_, i) => (i > at ? size : 0) + noise * random.normal());
  },
  'a ramp': (random, time_s) => {
    const from = random.uniform() * 0.6 * time_s.length;
    const length = (0.1 + 0.9 * random.uniform()) * time_s.length;
    const size = 10 * random.uniform();
    const noise = level(random);
    return time_s.map(
      (_, i) => size * Math.min(1, Math.max(0, (i - from) / length)) + noise * random.normal(),
    );
  },
  'one load cycle': (random, time_s) => {
    const length = (0.2 + 0.8 * random.uniform()) * time_s.length;
    const from = random.uniform() * (time_s.length - length);
    const size = 10 * random.uniform();
    const noise = level(random);
    const there = random.uniform() < 0.5;
    return time_s.map((_, i) => {
      const u = (i - from) / length;
      const shape = there ? Math.sin(2 * Math.PI * u) : (1 - Math.cos(2 * Math.PI * u)) / 2;
      return (u > 0 && u < 1 ? size * shape : 0) + noise * random.normal();
    });
  },
};

export function medianOf(values: number[]): number {
  const sorted = [...values].sort((a, b) => a - b);
  return sorted[Math.floor(sorted.length / 2)];
}
