import type { Cause } from '../../cause.js';
import type { Suspect } from './symptom-causes.js';

/** The probability of a cause among what a symptom points to; 0: it does not point to it. */
export const weightOf = (suspects: readonly Suspect[], cause: Cause): number =>
  suspects.find((one) => one.cause === cause)?.weight ?? 0;

/**
 * A cause gets its probability, and all else follows by Jeffrey's rule: of each other cause the part that is there without it
 * goes with what is left to 1, the part that is there beside it goes with it. That part is the least that both
 * probabilities ask for (Fréchet's bound); none where they add up to no more than 1, so that all others keep their proportions.
 */
export function withWeight(suspects: readonly Suspect[], cause: Cause, probability: number): Suspect[] {
  const before = weightOf(suspects, cause);
  const [withIt, without] = [
    before > 0 ? probability / before : 0,
    before < 1 ? (1 - probability) / (1 - before) : 0,
  ];
  const weighed = suspects.map((one) => {
    if (one.cause === cause) return { ...one, weight: probability };
    const beside = Math.max(0, one.weight + before - 1);
    return { ...one, weight: (one.weight - beside) * without + beside * withIt };
  });
  return weighed.some((one) => one.cause === cause) ? weighed : [...weighed, { cause, weight: probability }];
}
