import { seededRandom } from '../../../numerics/index.js';
import { ageingKinds, usualBelief, type AgeingBelief } from '../models/index.js';
import type { ByKind } from './cohort-evidence.js';

/** The usual belief counts as much as so many modules that have shown their way for certain. */
const usualWorth = 3;
/** The square root of age, which the usual belief leaves out, is possible in a cohort, with this probability. */
const possible = 0.05;
const sweeps = 400;
const burnIn = 100;

/**
 * How probable each way of ageing is in a cohort: the posterior mean of the weights of a mixture of which each module's
 * marginal likelihoods are known, with a Dirichlet prior about the usual belief, by Gibbs sampling (Diebolt & Robert 1994,
 * J. R. Stat. Soc. B 56:363), with weights integrated out. Modules that cannot tell the ways apart leave the
 * belief as it was. Repeats exactly for a seed.
 */
export function learnBelief(modules: readonly ByKind[], seed = 1): AgeingBelief {
  const prior = ageingKinds.map(
    (kind) => usualWorth * (kind === 'root-of-age' ? possible : (1 - possible) * usualBelief[kind]),
  );
  const likelihoods = modules.map((likelihood) => ageingKinds.map((kind) => likelihood[kind]));
  const uniform = seededRandom(seed);
  const counts = [...prior];
  const way = likelihoods.map((likelihood) => {
    const drawn = draw(likelihood, prior, uniform);
    counts[drawn]!++;
    return drawn;
  });
  const sums = ageingKinds.map(() => 0);
  for (let sweep = 0; sweep < sweeps; sweep++) {
    likelihoods.forEach((likelihood, i) => {
      counts[way[i]!]!--;
      way[i] = draw(likelihood, counts, uniform);
      counts[way[i]!]!++;
    });
    if (sweep >= burnIn) counts.forEach((count, k) => (sums[k]! += count));
  }
  const all = (sweeps - burnIn) * (usualWorth + modules.length);
  return Object.fromEntries(ageingKinds.map((kind, k) => [kind, sums[k]! / all])) as unknown as AgeingBelief;
}

/** One of the ways, by likelihood times weight. */
function draw(likelihood: readonly number[], weights: readonly number[], uniform: () => number): number {
  let all = 0;
  for (let k = 0; k < weights.length; k++) all += likelihood[k]! * weights[k]!;
  let left = uniform() * all;
  for (let k = 0; k < weights.length; k++) {
    left -= likelihood[k]! * weights[k]!;
    if (left < 0) return k;
  }
  return weights.length - 1;
}
