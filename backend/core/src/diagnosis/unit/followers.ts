import type { Cause } from '../cause.js';
import { costliest, mostUrgent, withBeneath } from './combined.js';
import type { Diagnosis } from './diagnosis.js';

/** What makes superheat of a circuit swing by itself, whatever the others do. */
const ofItsOwn: readonly Cause[] = [
  'loop-tuned-too-hard',
  'valve-too-large',
  'valve-friction',
  'setpoint-under-steady-floor',
];
/** From this belief on a circuit's own cause explains what follows it, and from this on the other circuit may take part. Judgement, no source. */
const told = 0.5;
const takesPart = 0.25;

const circuitOf = ({ symptoms }: Diagnosis): number | null => {
  const [{ subject }] = symptoms;
  return subject.kind === 'circuit' ? subject.circuit : null;
};

const swingsByItself = (diagnosis: Diagnosis): boolean =>
  ofItsOwn.includes(diagnosis.cause) &&
  diagnosis.weight >= told &&
  diagnosis.rivals.every(
    ({ cause, weight }) => cause !== 'circuits-disturb-each-other' || weight < takesPart,
  ) &&
  diagnosis.symptoms.some(({ condition, certainty }) => condition === 'hunting' && certainty === 'certain');

/**
 * Circuits that disturb each other both take part in the swing. Where one circuit is said to be disturbed and the other to swing by itself,
 * the first only follows: by the fewest causes its hunting goes beneath the cause of the other's.
 */
export function withoutFollowers(all: readonly Diagnosis[]): Diagnosis[] {
  const kept = [...all];
  for (const one of all) {
    if (one.cause !== 'circuits-disturb-each-other') continue;
    if (
      !one.symptoms.every((symptom) => symptom.condition === 'hunting' || one.consequences.includes(symptom))
    )
      continue;
    const own = circuitOf(one);
    const k = kept.findIndex((other) => circuitOf(other) !== own && swingsByItself(other));
    if (own === null || k < 0) continue;
    const leader = kept[k];
    kept[k] = {
      ...withBeneath(leader, one),
      urgency: mostUrgent([leader.urgency, one.urgency]),
      waiting: costliest([leader, one]),
      hazards: [...new Set([...leader.hazards, ...one.hazards])],
    };
    kept.splice(kept.indexOf(one), 1);
  }
  return kept;
}
