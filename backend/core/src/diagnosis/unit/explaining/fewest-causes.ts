import type { Cause } from '../../cause.js';
import type { Finding } from '../../finding.js';
import { explains, type Suspect } from './symptom-causes.js';

/** A symptom with what it points to. */
export interface Symptom {
  finding: Finding;
  suspects: Suspect[];
}

export interface ExplainedBy {
  cause: Cause;
  weight: number;
  rivals: { cause: Cause; weight: number }[];
  symptoms: Finding[];
  /** Those of the symptoms that do not point to the cause, or hardly, but follow from it. */
  consequences: Finding[];
}

/** Only causes that are there together can both be likelier than this. */
const atOnce = 0.5;

/** Causes that every departure from normal is weighed against. */
const ofDepartures: readonly Cause[] = [
  'missing-refrigerant',
  'excess-refrigerant',
  'gas-in-circuit',
  'condenser-fouled',
  'condenser-flow-low',
  'evaporator-fouled',
  'evaporator-flow-low',
  'liquid-line-restricted',
  'compressor-weak',
  'valve-offset',
  'valve-leaks-by',
  'tandem-mismatch',
];

/** A cause that nothing points to by more than this is no explanation of anything. Judgement, no source. */
export const leastBelief = 0.25;
/** From this probability on a symptom points to a cause. Judgement, no source. */
const pointsTo = 0.15;
/** Probability that a cause produced a symptom that it can produce but that does not point to it. Judgement, no source. */
const asConsequence = 0.35;
/** By how much another cause must account for more than the one that was named before. Judgement, no source. */
const clearLead = 1.25;

/**
 * The fewest causes that explain the symptoms of one circuit: again and again the cause that accounts for most of what is
 * still unexplained, with the symptoms that follow from it, until none is left (the greedy cover of Peng & Reggia 1990's
 * parsimonious explanation). A cause is only taken up by a symptom that points to it; symptoms that merely can follow from
 * it then go beneath it. Its probability is that of the symptoms that point to it, taken as independent evidence no further
 * than their strongest and half of what the others add.
 *
 * @param standing causes that were named before: each stays until another accounts for clearly more, so that two that are
 * about as likely do not take turns from window to window
 */
export function fewestCauses(
  symptoms: readonly Symptom[],
  standing: ReadonlySet<Cause> = new Set(),
): ExplainedBy[] {
  const found: ExplainedBy[] = [];
  let left = [...symptoms];
  while (left.length > 0) {
    const cause = bestCause(left, standing);
    const pointing = left.filter(({ suspects }) => weightOf(suspects, cause) > 0);
    const strong = pointing.filter(({ suspects }) => weightOf(suspects, cause) >= pointsTo);
    const beneath = left.filter(
      (one) => strong.includes(one) || pointing.includes(one) || explains(cause, one.finding.condition),
    );
    const mine = cause === 'something-else' ? [mostTelling(left, cause)] : beneath;
    const leading = mostTelling(mine, cause);
    found.push({
      cause,
      weight: probabilityOf(cause, cause === 'something-else' ? mine : pointing),
      rivals: leading.suspects
        .filter((suspect) => suspect.cause !== cause && suspect.weight >= 0.02)
        .sort((a, b) => b.weight - a.weight),
      symptoms: [...mine]
        .sort((a, b) => weightOf(b.suspects, cause) - weightOf(a.suspects, cause))
        .map(({ finding }) => finding),
      consequences: mine
        .filter((one) => one !== leading && weightOf(one.suspects, cause) < pointsTo)
        .map(({ finding }) => finding),
    });
    left = left.flatMap((one) => (mine.includes(one) ? (restOf(one, cause, mine) ?? []) : [one]));
  }
  return found;
}

/**
 * What a symptom still points to once a cause is taken. Probabilities of causes that exclude each other add up to no more than 1:
 * where a second one is over a half beside a first over a half, both are there at once, and the second is said too. By
 * how much the probabilities of a departure's causes add up to more than 1, two are there at once: where that is over a half,
 * a second one is said even where it is not told apart which. A departure that was weighed against the cause that is taken,
 * and points to another, is no consequence of it.
 */
function restOf({ finding, suspects }: Symptom, taken: Cause, mine: readonly Symptom[]): Symptom | null {
  const departure = isDeparture(finding);
  if (weightOf(suspects, taken) <= atOnce && !(departure && weighedAgainst(taken, mine))) return null;
  const two = departure && suspects.reduce((sum, { weight }) => sum + weight, 0) - 1 > atOnce;
  const others = suspects.filter(
    ({ cause, weight }) => cause !== taken && cause !== 'something-else' && (two || weight > atOnce),
  );
  return others.length === 0 ? null : { finding, suspects: others };
}

const isDeparture = ({ condition }: Finding): boolean => condition === 'departs-from-normal';

/** Readings that are off by a constant are weighed with every departure, those that jump or stand still are not. */
const weighedAgainst = (taken: Cause, mine: readonly Symptom[]): boolean =>
  taken === 'sensor-wrong'
    ? mine.some(({ finding }) => finding.condition === 'sensor-bias')
    : ofDepartures.includes(taken);

const weightOf = (suspects: readonly Suspect[], cause: Cause): number =>
  suspects.find((suspect) => suspect.cause === cause)?.weight ?? 0;

function bestCause(left: readonly Symptom[], standing: ReadonlySet<Cause>): Cause {
  const candidates = new Set(left.flatMap(({ suspects }) => suspects.map(({ cause }) => cause)));
  let best: Cause = 'something-else';
  let highest = 0;
  for (const cause of candidates) {
    if (cause === 'something-else') continue;
    const direct = Math.max(...left.map(({ suspects }) => weightOf(suspects, cause)));
    const total = left.reduce(
      (sum, { finding, suspects }) =>
        sum +
        Math.max(weightOf(suspects, cause), explains(cause, finding.condition) ? asConsequence * direct : 0),
      0,
    );
    const counted = standing.has(cause) ? clearLead * total : total;
    if (direct >= leastBelief && counted > highest) {
      highest = counted;
      best = cause;
    }
  }
  return best === 'something-else' ? likeliestOfSpread(left) : best;
}

/**
 * A departure whose belief is spread over many causes, none of them over the least one, is still sooner the likeliest of these than none of
 * them.
 */
function likeliestOfSpread(left: readonly Symptom[]): Cause {
  for (const { finding, suspects } of left) {
    const known = suspects.filter(({ cause }) => cause !== 'something-else');
    const first = [...known].sort((a, b) => b.weight - a.weight)[0];
    const none = 1 - known.reduce((sum, { weight }) => sum + weight, 0);
    if (isDeparture(finding) && first !== undefined && first.weight >= pointsTo && first.weight > none)
      return first.cause;
  }
  return 'something-else';
}

function mostTelling(symptoms: readonly Symptom[], cause: Cause): Symptom {
  return symptoms.reduce((best, one) =>
    weightOf(one.suspects, cause) > weightOf(best.suspects, cause) ? one : best,
  );
}

function probabilityOf(cause: Cause, pointing: readonly Symptom[]): number {
  const weights = pointing.map(({ suspects }) => weightOf(suspects, cause)).sort((a, b) => b - a);
  if (weights.length === 0) return 0;
  const together = 1 - weights.reduce((product, weight) => product * (1 - weight), 1);
  return weights[0] + (together - weights[0]) / 2;
}
