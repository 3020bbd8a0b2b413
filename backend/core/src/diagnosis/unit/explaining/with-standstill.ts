import type { Cause } from '../../cause.js';
import type { Finding } from '../../finding.js';
import type { Symptom } from './fewest-causes.js';
import { isOverOther, readsHighAtDischarge, type Suspect } from './symptom-causes.js';
import { weightOf } from './suspects.js';

/** Of causes that leave a sensor as it was, how often it read as wrong as that already before. Judgement, no source. */
const wrongBefore = 0.05;
/** How often gas shows at a standstill as it does while running: it may spread over the whole circuit. Judgement, no source. */
const gasShows = 0.7;
/** From this belief on, that a sensor has changed since normal was learned, its registry entry is no longer first in doubt. */
const hasChanged = 0.3;
/** A transducer that was changed for one of another kind, against one that went off by just an atmosphere. Judgement, no source. */
const exchanged = 0.15;

/**
 * What a standstill said of a sensor and what running says of the same circuit, weighed together. A sensor that reads wrong
 * does so standing as well as running, and moves nothing but itself; gas raises the pressure that the discharge transducer
 * reads standing and running, and power, discharge temperature and valve with it; any other cause leaves the standstill as
 * it was. So each of the two symptoms gets the belief that follows from both, by Bayes' rule. An error of about an
 * atmosphere is an error of the registry only where the sensor read so when normal was learned.
 */
export function weighedWithStandstill(symptoms: readonly Symptom[]): Symptom[] {
  const running = symptoms.find(({ finding }) => finding.condition === 'departs-from-normal');
  const standing = symptoms.filter(({ finding }) => readsOff(finding));
  if (running === undefined || standing.length === 0) return [...symptoms];
  const beliefs = standing.map((one) => bothOf(running, one));
  // What each standstill makes less likely is less likely by all of them.
  const suspects = running.suspects.map(({ cause, weight }) => ({
    cause,
    weight: beliefs.reduce((product, { left }) => product * (left.get(cause) ?? 1), weight),
  }));
  const [before, after] = [running.suspects, suspects].map((all) =>
    all.reduce((sum, { weight }) => sum + weight, 0),
  );
  const weighed = suspects.map(({ cause, weight }) => ({
    cause,
    weight: Math.min(1, (weight * before) / after),
  }));
  return symptoms.map((one) =>
    one === running
      ? { ...one, suspects: weighed }
      : standing.includes(one)
        ? { ...one, suspects: beliefs[standing.indexOf(one)].suspects }
        : one,
  );
}

const readsOff = ({ condition, subject }: Finding): boolean =>
  subject.kind === 'sensor' &&
  (condition === 'sensor-bias' ||
    (condition === 'gauge-taken-for-absolute' && subject.sensor.endsWith('pressure')));

interface Both {
  /** Of the standing sensor's finding. */
  suspects: Suspect[];
  /** What is left of the belief in each cause of the departure, as a factor. */
  left: Map<Cause, number>;
}

function bothOf({ finding: departure, suspects }: Symptom, standing: Symptom): Both {
  const sensor = (standing.finding.subject as { sensor: string }).sensor;
  const named = departure.explanations.flatMap(({ sensors }) => sensors ?? []);
  const meant = isOverOther(standing.finding) ? bothPressures : [sensor];
  const itself = Math.min(
    weightOf(suspects, 'sensor-wrong'),
    named.reduce((sum, one) => sum + (meant.includes(one.sensor) ? one.weight : 0), 0),
  );
  const gas = readsHighAtDischarge(standing.finding) ? weightOf(suspects, 'gas-in-circuit') : 0;
  const total = itself + gasShows * gas + wrongBefore * Math.max(0, 1 - itself - gas);
  const without = (weight: number) =>
    shownBeside(Math.max(atLeastBeside(weight, itself), gasShows * atLeastBeside(weight, gas)));
  const left = new Map<Cause, number>(suspects.map(({ cause, weight }) => [cause, without(weight)]));
  if (gas > 0) left.set('gas-in-circuit', Math.max(gasShows, without(gas)));
  const otherSensors = weightOf(suspects, 'sensor-wrong') - itself;
  if (weightOf(suspects, 'sensor-wrong') > 0)
    left.set(
      'sensor-wrong',
      (itself + without(otherSensors) * otherSensors) / weightOf(suspects, 'sensor-wrong'),
    );
  if (!(total > 0)) return { suspects: standing.suspects, left: new Map() };
  return { suspects: ofStanding(standing, itself / total, (gasShows * gas) / total), left };
}

/** How often a standstill shows the sensor as wrong, of a cause beside which what shows it is there with that probability. */
const shownBeside = (there: number): number => wrongBefore + (1 - wrongBefore) * there;

/**
 * Of a cause's probability, the share in which another is there beside it at least (Fréchet's bound): causes that exclude each other add up to no more
 * than 1, and by how much two add up to more they are there at once.
 */
const atLeastBeside = (weight: number, other: number): number =>
  weight > 0 ? Math.max(0, Math.min(1, (weight + other - 1) / weight)) : 0;

/** Two transducers that differ at standstill: either may be wrong. */
const bothPressures: readonly string[] = ['discharge-pressure', 'suction-pressure'];

/** What the sensor's finding points to: the sensor, gas, or what it said by itself where the departure is something else. */
function ofStanding({ finding, suspects }: Symptom, itself: number, gas: number): Suspect[] {
  const apart = Math.max(0, 1 - itself - gas);
  const registry = finding.condition === 'gauge-taken-for-absolute';
  if (registry && itself < hasChanged) return suspects;
  const all = new Map<Cause, number>(suspects.map(({ cause, weight }) => [cause, apart * weight]));
  const add = (cause: Cause, weight: number) => all.set(cause, (all.get(cause) ?? 0) + weight);
  add('sensor-wrong', itself * (registry ? 1 - exchanged : 1));
  if (registry) add('registry-wrong', itself * exchanged);
  add('gas-in-circuit', gas);
  return [...all].filter(([, weight]) => weight > 0).map(([cause, weight]) => ({ cause, weight }));
}
