import type { Cause } from '../../cause.js';
import type { Symptom } from './fewest-causes.js';
import type { Suspect } from './symptom-causes.js';
import { surest } from '../../causes/stated-probability.js';
import { weightOf } from './suspects.js';

/** Causes that all circuits of a unit see alike, as they share water or air. */
const sharedCauses: readonly Cause[] = [
  'condenser-flow-low',
  'evaporator-flow-low',
  'condenser-fouled',
  'evaporator-fouled',
];

/** Sensors of the water and air that all circuits share begin so. */
export const sharedSensor = /^(entering-water|leaving-water|water-flow|condenser-)/;

/** A shared cause is weighed over the circuits where each of them points to it by this. Judgement, no source. */
const pointsTo = 0.15;
/** Prior probability of a shared cause among all: what both circuits show asks for it once, not once for each (as in the patterns). */
const priorOfShared = 0.1;
/** How often the fault of one circuit has another one depart as well, by the heat that it then takes. Judgement, no source. */
const echoes = 0.3;

/** What a circuit's departure says, in parts that add up to `all`. */
interface Parts {
  /** Belief in what all circuits share, by cause, and by sensor of the water or air. */
  shared: Map<string, number>;
  ofShared: number;
  /** In a wrong sensor of the circuit's own. */
  own: number;
}

/**
 * The departures of circuits that share water or air, weighed together. A wrong sensor of one circuit does not move the other: that each
 * has one that went off in the same weeks, and in the same way, is a coincidence, where one cause of the water or air moves
 * all of them alike. So where every circuit departs and points to the same shared cause, the wrong sensors of single
 * circuits lose by Bayes' rule to what is shared. What is shared is told apart by the mean of what the circuits say: they
 * read the same instruments of the water, which is no evidence of their own. All other causes stay as they were.
 *
 * @param circuits symptoms of each circuit of the unit
 */
export function weighedAcrossCircuits(circuits: readonly (readonly Symptom[])[]): Symptom[][] {
  const unchanged = circuits.map((symptoms) => [...symptoms]);
  const departures = circuits.map((symptoms) =>
    symptoms.find(({ finding }) => finding.condition === 'departs-from-normal'),
  );
  if (circuits.length < 2 || departures.some((one) => one === undefined)) return unchanged;
  const parts = departures.map((one) => partsOf(one!));
  const alike = sharedCauses.filter((cause) =>
    parts.every(({ shared }) => (shared.get(cause) ?? 0) >= pointsTo),
  );
  if (alike.length === 0) return unchanged;
  const { agreement, likelihood } = meanOfShared(parts);
  const together = (agreement * product(parts.map(({ ofShared }) => ofShared))) / priorOfShared;
  return circuits.map((symptoms, k) => {
    const { own, ofShared } = parts[k];
    const elsewhere = product(
      parts.filter((_, other) => other !== k).map((other) => other.own + echoes * (1 - other.own)),
    );
    const isShared = together / (together + own * elsewhere);
    const all = Math.min(1, own + ofShared) + atOnceOf(parts[k], likelihood);
    const weighed = new Map<Cause, number>([['sensor-wrong', all * (1 - isShared)]]);
    for (const [name, share] of likelihood) {
      const cause = causeOf(name);
      weighed.set(cause, (weighed.get(cause) ?? 0) + all * isShared * share);
    }
    return symptoms.map((one) =>
      one === departures[k] ? { ...one, suspects: withWeights(one.suspects, eachAtMostOnce(weighed)) } : one,
    );
  });
}

const isCause = (name: string): name is Cause => (sharedCauses as readonly string[]).includes(name);
const causeOf = (name: string): Cause => (isCause(name) ? name : 'sensor-wrong');

function partsOf({ finding, suspects }: Symptom): Parts {
  const shared = new Map<string, number>();
  for (const cause of sharedCauses)
    if (weightOf(suspects, cause) > 0) shared.set(cause, weightOf(suspects, cause));
  const wrong = weightOf(suspects, 'sensor-wrong');
  for (const { sensor, weight } of finding.explanations.flatMap(({ sensors }) => sensors ?? []))
    if (sharedSensor.test(sensor)) shared.set(sensor, Math.min(wrong, weight));
  const sum = (names: (name: string) => boolean) =>
    [...shared].reduce((total, [name, weight]) => total + (names(name) ? weight : 0), 0);
  return {
    shared,
    ofShared: sum(() => true),
    own: Math.max(0, wrong - sum((name) => !isCause(name))),
  };
}

/**
 * By how much the probabilities add up to more than 1, two causes are there at once: of those that all circuits point to. What another circuit
 * does not show at all is not shared, and is not there beside another either.
 */
function atOnceOf({ shared, own }: Parts, likelihood: ReadonlyMap<string, number>): number {
  const kept = [...shared].reduce(
    (sum, [name, weight]) => sum + ((likelihood.get(name) ?? 0) > 0 ? weight : 0),
    own,
  );
  return Math.max(0, kept - 1);
}

/** A cause is there once at most: what is over the surest belief goes to the others, in proportion, as two are there at once. */
function eachAtMostOnce(weighed: ReadonlyMap<Cause, number>): Map<Cause, number> {
  const limited = new Map(weighed);
  for (const _ of weighed) {
    const over = [...limited].filter(([, weight]) => weight > surest);
    const excess = over.reduce((sum, [, weight]) => sum + weight - surest, 0);
    const others = [...limited].filter(([, weight]) => weight > 0 && weight < surest);
    const all = others.reduce((sum, [, weight]) => sum + weight, 0);
    for (const [cause] of over) limited.set(cause, surest);
    for (const [cause, weight] of others) limited.set(cause, weight * (1 + excess / all));
  }
  return limited;
}

/** Of what is shared the geometric mean of the circuits' shares, added up to 1, and by how much they agree, 0 to 1. */
function meanOfShared(parts: readonly Parts[]): { agreement: number; likelihood: Map<string, number> } {
  const names = new Set(parts.flatMap(({ shared }) => [...shared.keys()]));
  const means = [...names].map((name): [string, number] => [
    name,
    product(parts.map(({ shared, ofShared }) => (shared.get(name) ?? 0) / ofShared)) ** (1 / parts.length),
  ]);
  const agreement = means.reduce((sum, [, share]) => sum + share, 0);
  return { agreement, likelihood: new Map(means.map(([name, share]) => [name, share / agreement])) };
}

const product = (values: readonly number[]): number => values.reduce((all, value) => all * value, 1);

/** Causes that were weighed get their new weight, all others stay. */
const withWeights = (suspects: readonly Suspect[], weighed: ReadonlyMap<Cause, number>): Suspect[] => [
  ...suspects.map((one) => ({
    ...one,
    weight: weighed.get(one.cause) ?? (isCause(one.cause) || one.cause === 'sensor-wrong' ? 0 : one.weight),
  })),
  ...[...weighed].flatMap(([cause, weight]) =>
    weight > 0 && !suspects.some((one) => one.cause === cause) ? [{ cause, weight }] : [],
  ),
];
