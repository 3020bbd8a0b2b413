import type { WeighedCause } from './weigh-causes.js';

/**
 * In so many cases the fault is as none of the patterns has it, however well one of them fits. On simulated units that shared
 * nothing with the patterns, those said to be 99 % likely were right in 96 % (26 diagnoses, seed 202 of `npm run score`).
 */
const noPatternIsRight = 0.05;
/** What is said by patterns alone is no surer. */
export const surest = 1 - noPatternIsRight;

/** Probabilities as they are said: what the patterns themselves may be wrong by is left to `something-else`. Likeliest first. */
export const asStated = (causes: readonly WeighedCause[]): WeighedCause[] =>
  causes
    .map((one) => {
      const weight = (1 - noPatternIsRight) * one.weight;
      if (one.cause === 'something-else') return { ...one, weight: weight + noPatternIsRight };
      if (one.channels === undefined) return { ...one, weight };
      const channels = Object.fromEntries(
        Object.entries(one.channels).map(([channel, own]) => [channel, (1 - noPatternIsRight) * own]),
      );
      return { ...one, weight, channels };
    })
    .sort((a, b) => b.weight - a.weight);
