import { normalProbability } from '../../../numerics/index.js';
import type { CausePattern } from '../patterns/cause-pattern.js';

/** What a fault is looked for by: how far one unit of its severity moves its linear form, in standard deviations. */
export type LookedFor = Pick<CausePattern, 'severity' | 'prior'> & { perUnit: number };

/** Severities are averaged over at so many places of the normal deviate, from -3 to 3. */
const places = Array.from({ length: 25 }, (_, k) => (k - 12) / 4);
const placeWeights = places.map((z) => Math.exp(-0.5 * z * z));
const totalWeight = placeWeights.reduce((sum, weight) => sum + weight, 0);
const highest_z = 8;
const rounds = 50;

/**
 * Shares of a false-alarm rate that several faults are looked for with, adding up to 1, such that most faults are found: by
 * the lemma of Neyman and Pearson each one's limit lies where its likelihood ratio, averaged over the severities that it
 * may have and times its prior probability, is the same (optimal weights of several tests, Roeder & Wasserman 2009, Stat.
 * Sci. 24:398, from memory). What shows by ten standard deviations when it is slight is seen with any limit and needs
 * little of the rate; what is hardly seen when it is slight, such as fouling, gets most.
 *
 * @param rate of all together, 0 to 0.5
 * @example falseAlarmShares([same, same], 0.01) // [0.5, 0.5]
 */
export function falseAlarmShares(faults: readonly LookedFor[], rate: number): number[] {
  const rates = (level: number) => faults.map((fault) => 1 - normalProbability(limitAt(fault, level)));
  const sum = (all: readonly number[]) => all.reduce((total, one) => total + one, 0);
  let [low, high] = [-50, 50];
  for (let round = 0; round < rounds; round++) {
    const middle = (low + high) / 2;
    if (sum(rates(middle)) > rate) low = middle;
    else high = middle;
  }
  const found = rates(high);
  const total = sum(found);
  return found.map((one) => (total > 0 ? one / total : 1 / faults.length));
}

/** Deviate at which the logarithm of prior times mean likelihood ratio is at a level; it grows with the deviate. */
function limitAt(fault: LookedFor, level: number): number {
  let [low, high] = [0, highest_z];
  for (let round = 0; round < rounds; round++) {
    const middle = (low + high) / 2;
    if (logRatio(fault, middle) < level) low = middle;
    else high = middle;
  }
  return high;
}

function logRatio({ severity, prior, perUnit }: LookedFor, z: number): number {
  let sum = 0;
  places.forEach((place, k) => {
    const mean = perUnit * severity.median * Math.exp(place * severity.spread);
    sum += (placeWeights[k]! / totalWeight) * Math.exp(mean * z - 0.5 * mean * mean);
  });
  return Math.log(prior * sum);
}
