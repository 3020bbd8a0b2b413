import type { Cause } from '../../cause.js';
import { leastBelief, type Symptom } from './fewest-causes.js';
import { weightOf } from './suspects.js';

/**
 * How often a circuit whose superheat swings evaporates colder on average as if its evaporator were fouled. The last tubes
 * dry up in one half of a swing and flood in the other, and what is dry gives away more than what is wet gains: the mean conductance
 * falls (common practice, no source for how much). Against that stands how often an evaporator is fouled within the same weeks.
 */
const seenWhileHunting = 0.5;
const fouledBesides = 0.05;

/** From this belief in its cause on a swing takes the departure beneath it. Judgement, no source. */
const known = 0.5;
/** As much as makes the departure a symptom of the swing, and adds hardly anything to what is believed of its cause. */
const beneath = 0.15;

const ofSwings: ReadonlySet<Cause> = new Set<Cause>([
  'loop-tuned-too-hard',
  'valve-too-large',
  'valve-friction',
  'setpoint-under-steady-floor',
  'circuits-disturb-each-other',
]);

/**
 * A departure that looks like a fouled evaporator while superheat certainly swings, by Bayes' rule: the swing does that by
 * itself more often than an evaporator is fouled. What the evaporator loses by it goes beneath the cause of the swing; all
 * else that the departure points to stays as it was.
 */
export function weighedWhileItHunts(symptoms: readonly Symptom[]): Symptom[] {
  const hunting = symptoms.find(
    ({ finding }) => finding.condition === 'hunting' && finding.certainty === 'certain',
  );
  const swing = hunting?.suspects
    .filter(({ cause, weight }) => ofSwings.has(cause) && weight >= known)
    .sort((a, b) => b.weight - a.weight)[0];
  if (swing === undefined) return [...symptoms];
  const left = fouledBesides / (fouledBesides + seenWhileHunting);
  return symptoms.map((one) => {
    const fouled = weightOf(one.suspects, 'evaporator-fouled');
    if (one.finding.condition !== 'departs-from-normal' || fouled < known) return one;
    const suspects = one.suspects.map((suspect) =>
      suspect.cause === 'evaporator-fouled' ? { ...suspect, weight: left * fouled } : suspect,
    );
    const others = suspects.filter(({ cause }) => cause !== swing.cause);
    // What the departure points to besides stands by itself.
    if (others.some(({ cause, weight }) => cause !== 'something-else' && weight >= leastBelief))
      return { ...one, suspects };
    return { ...one, suspects: [...others, { cause: swing.cause, weight: beneath }] };
  });
}
