import { bracketedRoot, filled, normalProbability } from '../../../numerics/index.js';
import type { CausePattern } from '../patterns/cause-pattern.js';

/** What a fault is looked for by: how far one unit of its severity moves its linear form, in standard deviations. */
export type LookedFor = Pick<CausePattern, 'severity' | 'prior'> & { perUnit: number };

/** Severities are averaged over at so many places of the normal deviate, from -3 to 3. */
const places = Array.from({ length: 25 }, (_, k) => (k - 12) / 4);
const placeWeights = places.map((z) => Math.exp(-0.5 * z * z));
const totalWeight = placeWeights.reduce((sum, weight) => sum + weight, 0);
const highest_z = 8;
const highest_level = 50;
/** Of deviates and levels. */
const tolerance = 1e-10;

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
  if (faults.length === 0) return [];
  const severities = faults.map(severitiesOf);
  const rates = (level: number) =>
    severities.map((several) => 1 - normalProbability(limitAt(several, level)));
  const sum = (all: readonly number[]) => all.reduce((total, one) => total + one, 0);
  const tooMany = (level: number) => sum(rates(level)) - rate;
  let level = highest_level;
  if (tooMany(-level) <= 0) level = -level;
  else if (tooMany(level) < 0) level = bracketedRoot(tooMany, -level, level, tolerance);
  const found = rates(level);
  const total = sum(found);
  return found.map((one) => (total > 0 ? one / total : 1 / faults.length));
}

/** A fault at each of the severities that are averaged over. */
interface Severities {
  prior: number;
  /** How far its linear form is moved, in standard deviations, and half of that squared. */
  mean: Float64Array;
  half: Float64Array;
}

function severitiesOf({ severity, prior, perUnit }: LookedFor): Severities {
  const mean = filled(
    places.length,
    (k) => perUnit * severity.median * Math.exp(places[k]! * severity.spread),
  );
  return { prior, mean, half: mean.map((one) => 0.5 * one * one) };
}

/** Deviate at which the logarithm of prior times mean likelihood ratio is at a level; it grows with the deviate. */
function limitAt(fault: Severities, level: number): number {
  const over = (z: number) => logRatio(fault, z) - level;
  if (!(over(0) < 0)) return 0;
  return over(highest_z) > 0 ? bracketedRoot(over, 0, highest_z, tolerance) : highest_z;
}

function logRatio({ prior, mean, half }: Severities, z: number): number {
  let sum = 0;
  for (let k = 0; k < mean.length; k++)
    sum += (placeWeights[k]! / totalWeight) * Math.exp(mean[k]! * z - half[k]!);
  return Math.log(prior * sum);
}
