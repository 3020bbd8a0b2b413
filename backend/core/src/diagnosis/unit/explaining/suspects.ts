import type { Cause } from '../../cause.js';
import type { Suspect } from './symptom-causes.js';

/** The probability of a cause among what a symptom points to; 0: it does not point to it. */
export const weightOf = (suspects: readonly Suspect[], cause: Cause): number =>
  suspects.find((one) => one.cause === cause)?.weight ?? 0;

/** A cause gets its probability, all else keeps its proportions. */
export function withWeight(suspects: readonly Suspect[], cause: Cause, probability: number): Suspect[] {
  const before = weightOf(suspects, cause);
  const weighed = suspects.map((one) => ({
    ...one,
    weight:
      one.cause === cause
        ? probability
        : before < 1
          ? Math.min(1, (one.weight * (1 - probability)) / (1 - before))
          : one.weight,
  }));
  return weighed.some((one) => one.cause === cause) ? weighed : [...weighed, { cause, weight: probability }];
}
