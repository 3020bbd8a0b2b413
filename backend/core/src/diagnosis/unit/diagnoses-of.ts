import type { Cause } from '../cause.js';
import { urgencies, type Certainty, type Finding, type FindingSubject, type Urgency } from '../finding.js';
import { costliest, mostUrgent, withBeneath } from './combined.js';
import { departureUrgency, type Weighed } from './departure/departure-urgency.js';
import { withoutFollowers } from './followers.js';
import { leakSuspected } from './departure/leak-suspected.js';
import type { Diagnosis } from './diagnosis.js';
import { causeHeadline, checkBetween } from './explaining/cause-wording.js';
import { sharedSensor, weighedAcrossCircuits } from './explaining/across-circuits.js';
import { fewestCauses, type ExplainedBy, type Symptom } from './explaining/fewest-causes.js';
import { weighedByHeatBetween } from './explaining/heat-between-circuits.js';
import { weighedByLeakSeenTwice } from './explaining/leak-seen-twice.js';
import { suspectsOf } from './explaining/symptom-causes.js';
import { weighedWhileItHunts } from './explaining/while-it-hunts.js';
import { weighedWithStandstill } from './explaining/with-standstill.js';

/** As much of a unit as its diagnoses depend on. */
export interface DiagnosedUnit {
  refrigerant: string;
  circuits: readonly { number: number }[];
}

/** What is no symptom of the machine: it says that nothing is known of it, or not when. */
const noSymptom = new Set([
  'no-telemetry',
  'missing-telemetry',
  'incomplete-telemetry',
  'clocks-drift-apart',
]);

/** A cause that was named before, and on what. */
export type StandingCause = Pick<Diagnosis, 'cause' | 'subject'>;

/**
 * The diagnoses of a unit from its findings alone, most urgent first, then by probability: for each circuit and each backup
 * module the fewest causes that explain its symptoms, what all circuits share said once. A cause that stands from before
 * stays until another leads clearly.
 */
export function diagnosesOf(
  unit: DiagnosedUnit,
  findings: readonly Finding[],
  standing: readonly StandingCause[] = [],
): Diagnosis[] {
  const symptoms = findings.filter(({ condition }) => !noSymptom.has(condition));
  const diagnoses = suspectedBy(groups(symptoms), unit.circuits.length).flatMap(
    ({ subject, symptoms: own }) =>
      fewestCauses(
        weighedWhileItHunts(weighedByLeakSeenTwice(weighedWithStandstill(own))),
        standingOn(subject, standing),
      ).map((one) =>
        whileItHunts(
          diagnosisOf(one, subject, unit.refrigerant),
          own.map(({ finding }) => finding),
        ),
      ),
  );
  return onceForAll(diagnoses, unit.circuits.length).sort(
    (a, b) => urgencies.indexOf(a.urgency) - urgencies.indexOf(b.urgency) || b.weight - a.weight,
  );
}

/** What the findings of each circuit, each module and the unit itself point to, the circuits weighed together. */
function suspectedBy(
  all: readonly { subject: FindingSubject; findings: Finding[] }[],
  circuits: number,
): { subject: FindingSubject; symptoms: Symptom[] }[] {
  const suspected = all.map(({ subject, findings }) => ({
    subject,
    symptoms: findings.map((finding) => ({ finding, suspects: suspectsOf(finding) })),
  }));
  const ofCircuits = suspected.filter(({ subject }) => subject.kind === 'circuit');
  if (ofCircuits.length < circuits) return suspected;
  const weighed = weighedByHeatBetween(weighedAcrossCircuits(ofCircuits.map(({ symptoms }) => symptoms)));
  return suspected.map((one) => {
    const k = ofCircuits.indexOf(one);
    return k < 0 ? one : { ...one, symptoms: weighed[k] };
  });
}

/** Causes named before on a circuit, its sensors or a module; what was named on the whole unit stands on each of them. */
const standingOn = (subject: FindingSubject, standing: readonly StandingCause[]): Set<Cause> =>
  new Set(
    standing
      .filter(({ subject: named }) => named.kind === 'unit' || placeOf(named) === placeOf(subject))
      .map(({ cause }) => cause),
  );

/** What a finding is about: sensors belong to their circuit. */
const placeOf = (subject: FindingSubject): string =>
  subject.kind === 'module'
    ? `module ${subject.module}`
    : subject.kind === 'unit'
      ? 'unit'
      : `circuit ${subject.circuit}`;

/** Findings by what they are about: sensors belong to their circuit. In the order of circuits, modules, the unit itself. */
function groups(findings: readonly Finding[]): { subject: FindingSubject; findings: Finding[] }[] {
  const found = new Map<string, { subject: FindingSubject; findings: Finding[] }>();
  for (const finding of findings) {
    const { subject } = finding;
    const about: FindingSubject =
      subject.kind === 'sensor' ? { kind: 'circuit', circuit: subject.circuit } : subject;
    const number = about.kind === 'circuit' ? about.circuit : about.kind === 'module' ? about.module : 0;
    const key = `${['circuit', 'module', 'unit'].indexOf(about.kind)} ${String(number).padStart(5, '0')}`;
    const group = found.get(key);
    if (group) group.findings.push(finding);
    else found.set(key, { subject: about, findings: [finding] });
  }
  return [...found].sort(([a], [b]) => (a < b ? -1 : 1)).map(([, group]) => group);
}

function diagnosisOf(
  { cause, weight, rivals, symptoms, consequences }: ExplainedBy,
  about: FindingSubject,
  refrigerant: string,
): Diagnosis {
  const leak = leakSuspected(cause, weight, refrigerant);
  const urgency =
    leak?.urgency ?? mostUrgent(symptoms.map((one) => urgencyOf(one, { cause, weight }, rivals)));
  const pointing = symptoms.filter((one) => !consequences.includes(one));
  const subject = subjectOf(cause, symptoms, about);
  return {
    cause,
    subject,
    weight,
    rivals,
    urgency,
    certainty: certaintyOf(cause, weight, symptoms),
    headline: causeHeadline(cause, weight, rivals[0], subject),
    separatingCheck: checkBetween(cause, rivals[0]?.cause) ?? symptoms[0].separatingCheck,
    advice: null,
    symptoms,
    consequences,
    since_s: Math.min(...pointing.map(({ firstSeen_s }) => firstSeen_s)),
    waiting: leak
      ? { ...leak.waiting, score: Math.max(leak.waiting.score, costliest(symptoms).score) }
      : costliest(symptoms),
    hazards: [...new Set([...(leak?.hazards ?? []), ...symptoms.flatMap(({ hazards }) => hazards)])],
    cautions: leak?.cautions ?? [],
  };
}

/** What an evaporator's departure can come from. */
const ofEvaporator: readonly Cause[] = ['evaporator-fouled', 'evaporator-flow-low'];

/**
 * While superheat hunts, an evaporator is wetted and runs dry by turns, and does less than it did: what its departure alone
 * says of it is to be watched until the hunting is ended.
 */
const whileItHunts = (diagnosis: Diagnosis, own: readonly Finding[]): Diagnosis =>
  ofEvaporator.includes(diagnosis.cause) &&
  diagnosis.symptoms.every(({ condition }) => condition === 'departs-from-normal') &&
  own.some(({ condition, certainty }) => condition === 'hunting' && certainty === 'certain')
    ? { ...diagnosis, urgency: 'watch' }
    : diagnosis;

/** A departure asks for what its causes ask for; all other symptoms ask by themselves. */
const urgencyOf = (symptom: Finding, cause: Weighed, rivals: readonly Weighed[]): Urgency =>
  symptom.condition === 'departs-from-normal' && symptom.urgency !== 'watch'
    ? departureUrgency([cause, ...rivals], [])
    : symptom.urgency;

/** A wrong sensor is its own subject; water flow is the unit's. */
function subjectOf(cause: Cause, symptoms: readonly Finding[], about: FindingSubject): FindingSubject {
  if (cause === 'evaporator-flow-low' || cause === 'condenser-flow-low') return { kind: 'unit' };
  const sensor = symptoms.find(({ subject }) => subject.kind === 'sensor' || subject.kind === 'unit');
  const ofReading = ['sensor-wrong', 'sensors-swapped', 'registry-wrong', 'measurement-noise'];
  return sensor && ofReading.includes(cause) ? sensor.subject : about;
}

function certaintyOf(cause: Cause, weight: number, symptoms: readonly Finding[]): Certainty {
  const seen = symptoms[0].certainty;
  // Where no known cause explains it, what was seen is as certain as it was.
  if (cause === 'something-else') return seen;
  if (weight >= 0.9 && seen === 'certain') return 'certain';
  return weight >= 0.6 && seen !== 'possible' ? 'likely' : 'possible';
}

/** Causes that act on all circuits alike are said once, on the unit. */
const shared: readonly Cause[] = [
  'condenser-flow-low',
  'evaporator-flow-low',
  'condenser-fouled',
  'evaporator-fouled',
  'registry-wrong',
  'sensors-swapped',
];

function onceForAll(all: readonly Diagnosis[], circuits: number): Diagnosis[] {
  if (circuits < 2) return [...all];
  const diagnoses = withoutFollowers(withoutEchoes(all, circuits));
  const merged: Diagnosis[] = [];
  for (const one of diagnoses) {
    const alike = diagnoses.filter(({ cause }) => cause === one.cause);
    if (!shared.includes(one.cause) || alike.length < circuits) merged.push(one);
    else if (alike[0] === one) merged.push(together(alike));
  }
  return merged;
}

/** Whether a diagnosis of one circuit is of what all circuits have in common: a flow, or a meter of it. */
const ofTheUnit = ({ cause, symptoms }: Diagnosis): boolean =>
  cause === 'condenser-flow-low' ||
  cause === 'evaporator-flow-low' ||
  (cause === 'sensor-wrong' &&
    symptoms[0].condition === 'departs-from-normal' &&
    sharedSensor.test(symptoms[0].explanations.flatMap(({ sensors }) => sensors ?? [])[0]?.sensor ?? ''));

/**
 * What all circuits share departs in all of them. Where one circuit alone shows it, and another has a fault of its own, that
 * fault has moved it: the water that a circuit with less heat throttles is missing for the other. Such an echo goes beneath.
 */
function withoutEchoes(all: readonly Diagnosis[], circuits: number): Diagnosis[] {
  const ofCircuit = ({ symptoms }: Diagnosis): number | null => {
    const [{ subject }] = symptoms;
    return subject.kind === 'circuit' || subject.kind === 'sensor' ? subject.circuit : null;
  };
  const kept = [...all];
  for (const one of all) {
    const alike = all.filter(({ cause }) => cause === one.cause).length;
    const own = ofCircuit(one);
    if (own === null || alike >= circuits || !ofTheUnit(one)) continue;
    const other = kept.findIndex(
      (two) => !ofTheUnit(two) && ofCircuit(two) !== null && ofCircuit(two) !== own && two.weight >= told,
    );
    if (other < 0) continue;
    kept[other] = withBeneath(kept[other], one);
    kept.splice(kept.indexOf(one), 1);
  }
  return kept;
}

/** From this belief on a fault of one circuit explains what another shows of the unit. Judgement, no source. */
const told = 0.5;

function together(alike: readonly Diagnosis[]): Diagnosis {
  const urgency = mostUrgent(alike.map((one) => one.urgency));
  return {
    ...alike.reduce((best, other) => (other.weight > best.weight ? other : best)),
    subject: { kind: 'unit' },
    urgency,
    symptoms: alike.flatMap(({ symptoms }) => symptoms),
    consequences: alike.flatMap(({ consequences }) => consequences),
    since_s: Math.min(...alike.map(({ since_s }) => since_s)),
    waiting: costliest(alike),
    hazards: [...new Set(alike.flatMap(({ hazards }) => hazards))],
  };
}
