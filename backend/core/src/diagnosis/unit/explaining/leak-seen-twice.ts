import { priorOf } from '../../causes/patterns/priors.js';
import { surest } from '../../causes/stated-probability.js';
import type { Symptom } from './fewest-causes.js';
import { weightOf, withWeight } from './suspects.js';

const leak = 'valve-leaks-by';
/** How often a leak that shows after a stop is too small to show in the opening while running. Judgement, no source. */
const unseenRunning = 0.5;

/**
 * A shut valve that leaks by, seen twice: pressures meet fast after a stop, and less opening passes the same flow while running. The
 * two are different measurements with different other causes: a compressor whose check valve leaks does not change the
 * opening, lost steps do not move pressures once the valve is shut. So by Bayes' rule one leak that explains both is likelier than a
 * fault for each, by the odds of both over what the leak was thought likely beforehand. Symptoms of which neither, or only one, points
 * to a leak stay as they were.
 */
export function weighedByLeakSeenTwice(symptoms: readonly Symptom[]): Symptom[] {
  const standing = symptoms.find(({ finding }) => finding.condition === 'pressures-meet-fast');
  const running = symptoms.find(({ finding }) => finding.condition === 'departs-from-normal');
  if (standing === undefined || running === undefined) return [...symptoms];
  const [s, w] = [beliefIn(standing), beliefIn(running)];
  if (!(s > 0 && w > 0)) return [...symptoms];
  // The belief while running contains the prior of a worn seat among all causes.
  const both = (s * w) / priorOf[leak];
  const besideAnother = s * (1 - w) * unseenRunning;
  const neither = (1 - s) * (1 - w);
  const total = both + besideAnother + neither;
  return symptoms.map((one) =>
    one === standing
      ? withBelief(one, (both + besideAnother) / total)
      : one === running
        ? withBelief(one, both / total)
        : one,
  );
}

/** The leak gets its probability, but no less than it had, and what patterns say is no surer than that. */
const withBelief = (symptom: Symptom, probability: number): Symptom => ({
  ...symptom,
  suspects: withWeight(symptom.suspects, leak, Math.max(beliefIn(symptom), Math.min(surest, probability))),
});

const beliefIn = ({ suspects }: Symptom): number => weightOf(suspects, leak);
