import type { Cause } from '../cause.js';
import { urgencies, type Certainty, type Finding, type FindingSubject } from '../finding.js';
import { causeHeadline, checkBetween } from './explaining/cause-wording.js';
import type { Diagnosis } from './diagnosis.js';
import { fewestCauses, type ExplainedBy } from './explaining/fewest-causes.js';
import { leakSuspected } from './departure/leak-suspected.js';
import { suspectsOf } from './explaining/symptom-causes.js';

/** As much of a unit as its diagnoses depend on. */
export interface DiagnosedUnit {
  refrigerant: string;
  circuits: readonly { number: number }[];
}

/** What is no symptom of the machine: it says that nothing is known of it. */
const noSymptom = new Set(['no-telemetry']);

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
  const diagnoses = groups(symptoms).flatMap(({ subject, findings: own }) =>
    fewestCauses(
      own.map((finding) => ({ finding, suspects: suspectsOf(finding) })),
      standingOn(subject, standing),
    ).map((one) => diagnosisOf(one, subject, unit.refrigerant)),
  );
  return onceForAll(diagnoses, unit.circuits.length).sort(
    (a, b) => urgencies.indexOf(a.urgency) - urgencies.indexOf(b.urgency) || b.weight - a.weight,
  );
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
    leak?.urgency ?? urgencies[Math.min(...symptoms.map((one) => urgencies.indexOf(one.urgency)))];
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
    waiting: symptoms.reduce(
      (most, { waiting }) => (waiting.score > most.score ? waiting : most),
      symptoms[0].waiting,
    ),
    hazards: [...new Set([...(leak?.hazards ?? []), ...symptoms.flatMap(({ hazards }) => hazards)])],
    cautions: leak?.cautions ?? [],
  };
}

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
];

function onceForAll(diagnoses: readonly Diagnosis[], circuits: number): Diagnosis[] {
  if (circuits < 2) return [...diagnoses];
  const merged: Diagnosis[] = [];
  for (const one of diagnoses) {
    const alike = diagnoses.filter(({ cause }) => cause === one.cause);
    if (!shared.includes(one.cause) || alike.length < circuits) merged.push(one);
    else if (alike[0] === one) merged.push(together(alike));
  }
  return merged;
}

function together(alike: readonly Diagnosis[]): Diagnosis {
  const urgency = urgencies[Math.min(...alike.map((one) => urgencies.indexOf(one.urgency)))];
  return {
    ...alike.reduce((best, other) => (other.weight > best.weight ? other : best)),
    subject: { kind: 'unit' },
    urgency,
    symptoms: alike.flatMap(({ symptoms }) => symptoms),
    consequences: alike.flatMap(({ consequences }) => consequences),
    since_s: Math.min(...alike.map(({ since_s }) => since_s)),
    waiting: alike.reduce(
      (most, { waiting }) => (waiting.score > most.score ? waiting : most),
      alike[0].waiting,
    ),
    hazards: [...new Set(alike.flatMap(({ hazards }) => hazards))],
  };
}
