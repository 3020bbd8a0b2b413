import { OutOfRangeError } from '../../units/errors.js';
import { betaQuantile } from '../random/distributions.js';

export interface Interval {
  low: number;
  high: number;
}

/**
 * Interval of a proportion after `successes` in `trials`: quantiles of the beta distribution that follows from Jeffreys'
 * prior, Beta(x + 1/2, n - x + 1/2), with equal tails; without a success it begins at 0 and without a failure it ends
 * at 1 (Brown, Cai & DasGupta 2001, Interval estimation for a binomial proportion, Statistical Science 16:101, section
 * 4.1). No trials: 0 to 1.
 *
 * @param level probability that it holds, 0 to 1, ends excluded
 * @example jeffreysInterval(7, 9) // { low: 0.456, high: 0.951 }
 */
export function jeffreysInterval(successes: number, trials: number, level = 0.95): Interval {
  if (!Number.isInteger(trials) || trials < 0) throw new OutOfRangeError('trials', trials, 0, Infinity);
  if (!Number.isInteger(successes) || successes < 0 || successes > trials)
    throw new OutOfRangeError('successes', successes, 0, trials);
  if (!(level > 0 && level < 1)) throw new OutOfRangeError('level', level, 0, 1);
  const tail = (1 - level) / 2;
  const quantile = (probability: number) =>
    betaQuantile(probability, successes + 0.5, trials - successes + 0.5);
  return {
    low: successes === 0 ? 0 : quantile(tail),
    high: successes === trials ? 1 : quantile(1 - tail),
  };
}
