import { randomGamma, randomNormal } from 'd3-random';
import { uniformFloat64 } from 'pure-rand/distribution/uniformFloat64';
import { xoroshiro128plus } from 'pure-rand/generator/xoroshiro128plus';

/** Uniform numbers in [0, 1) that repeat for a seed (xoroshiro128+): for resampling, not for secrets. */
export function seededRandom(seed: number): () => number {
  const generator = xoroshiro128plus(seed);
  return () => uniformFloat64(generator);
}

/** Standard normal numbers from uniform ones. */
export const normalDraws = (uniform: () => number): (() => number) => randomNormal.source(uniform)();

/** Gamma numbers of a shape and scale 1, from uniform ones. */
export const gammaDraws = (uniform: () => number): ((shape: number) => number) => {
  const draws = randomGamma.source(uniform);
  return (shape) => draws(shape)();
};
