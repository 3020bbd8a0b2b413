import { learnHabits } from '../../habits/learn-habits.js';
import { prepareSeries } from '../../habits/prepare-series.js';
import { judgePlateaus } from '../../normal/departures/judge-plateaus.js';
import type { CircuitNormal } from '../../normal/learning/circuit-normal.js';
import { findPlateaus } from '../../normal/plateaus/find-plateaus.js';
import { machineOf, type Machine } from '../../normal/quantities/machine.js';
import { canonicalRefrigerantName, refrigerantFacts } from '../../refrigerants/index.js';
import type { CircuitSeries } from '../../telemetry/circuit-series.js';
import type { CircuitEntry, UnitEntry } from '../../telemetry/registry.js';
import { ArgumentError } from '../../units/index.js';
import type { Cause } from '../cause.js';
import { weighCausesOfDepartures } from '../causes/weigh-causes.js';
import { urgencies, type Certainty, type Finding, type FindingSubject, type Hazard } from '../finding.js';
import { mergeWrongRefrigerant } from '../wrong-refrigerant.js';
import { causeHeadline, checkBetween } from './cause-wording.js';
import { findingsOfCircuits, sliceSeries, type PreparedCircuit } from './circuit-findings-of.js';
import { departureSymptom } from './departure-symptom.js';
import type { Diagnosis, UnitNormal } from './diagnosis.js';
import { lastingDeparture, type LastingDeparture } from './lasting-departure.js';
import { fewestCauses, type ExplainedBy, type Symptom } from './fewest-causes.js';
import { suspectsOf } from './symptom-causes.js';
import { learnSound, splitRecord } from './unit-normal.js';

export interface DiagnoseUnitInput {
  unit: UnitEntry;
  altitude_m: number;
  /** One per circuit entry, in that order. */
  circuits: CircuitSeries[];
  /** What the unit does while nothing is wrong; left out, it is learned from the first part of the series. */
  normal?: UnitNormal | null;
  /** Samples from here on are not looked at. */
  until_s?: number;
}

export interface UnitDiagnosis {
  diagnoses: Diagnosis[];
  findings: Finding[];
  normal: UnitNormal | null;
}

/**
 * The whole pipeline on series alone: what is seen on each circuit (sensors, superheat, valve, charge), how it departs
 * from the unit's own normal, and the fewest causes that explain both, most urgent first. Pure: the same input gives the
 * same answer.
 * @throws ArgumentError where series and circuits do not match; UnknownRefrigerantError.
 */
export function diagnoseUnit(input: DiagnoseUnitInput): UnitDiagnosis {
  const { unit, altitude_m } = input;
  if (input.circuits.length !== unit.circuits.length)
    throw new ArgumentError(
      'circuits',
      `has ${input.circuits.length} series for ${unit.circuits.length} circuits`,
    );
  const refrigerant = canonicalRefrigerantName(unit.refrigerant);
  const series = input.circuits.map((one) =>
    prepared(unit, input.until_s === undefined ? one : sliceSeries(one, -Infinity, input.until_s)),
  );
  const findings = findingsOfCircuits(unit, altitude_m, series);
  const compared = unit.circuits.map((circuit, k) => {
    const known =
      input.normal?.refrigerant === refrigerant
        ? input.normal.circuits.find((one) => one.circuit === circuit.number)?.normal
        : undefined;
    return compareCircuit(unit, circuit, series[k].series, findings[k], known);
  });
  const diagnoses = unit.circuits.flatMap((circuit, k) => {
    const symptoms: Symptom[] = findings[k].map((finding) => ({ finding, suspects: suspectsOf(finding) }));
    const { symptom } = compared[k];
    return fewestCauses(symptom === null ? symptoms : [...symptoms, symptom]).map((one) =>
      diagnosisOf(one, circuit.number),
    );
  });
  const learned = unit.circuits.flatMap((circuit, k) => {
    const { normal } = compared[k];
    return normal === null ? [] : [{ circuit: circuit.number, normal }];
  });
  return {
    diagnoses: ofUnit(diagnoses, unit.circuits.length).sort(
      (a, b) => urgencies.indexOf(a.urgency) - urgencies.indexOf(b.urgency) || b.weight - a.weight,
    ),
    findings: mergeWrongRefrigerant(
      findings.flatMap((own, k) => {
        const { symptom } = compared[k];
        return symptom === null ? own : [...own, symptom.finding];
      }),
      unit.circuits.length,
    ),
    normal: learned.length === 0 ? null : { refrigerant, circuits: learned },
  };
}

/** A gateway's habits show within days. */
const habits_s = 3 * 86_400;

function prepared(unit: UnitEntry, series: CircuitSeries): PreparedCircuit {
  if (series.time_s.length === 0) return { ...prepareSeries(series, unit), sent: series };
  const last_s = series.time_s[series.time_s.length - 1];
  const habits = learnHabits(sliceSeries(series, last_s - habits_s, last_s + 1), unit.reporting);
  return { ...prepareSeries(series, { habits }), sent: series };
}

interface Compared {
  normal: CircuitNormal | null;
  symptom: Symptom | null;
}

function compareCircuit(
  unit: UnitEntry,
  circuit: CircuitEntry,
  series: CircuitSeries,
  findings: readonly Finding[],
  known: CircuitNormal | undefined,
): Compared {
  const machine = machineOf({ ...unit, circuits: unit.circuits.length, circuit });
  const plateaus = findPlateaus(series, machine.refrigerant);
  const { learned, judged } = known === undefined ? splitRecord(plateaus) : { learned: [], judged: plateaus };
  const normal = known ?? learnSound(machine, learned, findings);
  if (normal === null) return { normal, symptom: null };
  const departure = lastingDeparture(judgePlateaus(machine, normal, judged));
  return { normal, symptom: departure === null ? null : symptomOf(machine, normal, circuit, departure) };
}

function symptomOf(
  machine: Machine,
  normal: CircuitNormal,
  circuit: CircuitEntry,
  { over, slow }: LastingDeparture,
): Symptom | null {
  const causes = weighCausesOfDepartures(
    machine,
    normal,
    over.map(({ detail }) => detail),
  );
  const facts = refrigerantFacts(machine.refrigerant);
  const hazards: Hazard[] = [
    ...(facts.flammable ? (['flammable'] as const) : []),
    ...(facts.toxic ? (['toxic'] as const) : []),
  ];
  const finding = departureSymptom({ circuit: circuit.number, normal, over, slow, causes, hazards });
  return finding === null
    ? null
    : { finding, suspects: causes.map(({ cause, weight }) => ({ cause, weight })) };
}

function diagnosisOf({ cause, weight, rivals, symptoms }: ExplainedBy, circuit: number): Diagnosis {
  const urgency = urgencies[Math.min(...symptoms.map((one) => urgencies.indexOf(one.urgency)))];
  return {
    cause,
    subject: subjectOf(cause, symptoms, circuit),
    weight,
    rivals,
    urgency,
    certainty: certaintyOf(weight, symptoms),
    headline: causeHeadline(cause, weight),
    separatingCheck: checkBetween(cause, rivals[0]?.cause),
    advice: null,
    symptoms,
  };
}

/** A wrong sensor is its own subject; water flow is the unit's. */
function subjectOf(cause: Cause, symptoms: readonly Finding[], circuit: number): FindingSubject {
  if (cause === 'evaporator-flow-low' || cause === 'condenser-flow-low') return { kind: 'unit' };
  const sensor = symptoms.find(({ subject }) => subject.kind === 'sensor' || subject.kind === 'unit');
  const ofReading = ['sensor-wrong', 'sensors-swapped', 'registry-wrong', 'measurement-noise'];
  return sensor && ofReading.includes(cause) ? sensor.subject : { kind: 'circuit', circuit };
}

function certaintyOf(weight: number, symptoms: readonly Finding[]): Certainty {
  const seen = symptoms[0].certainty;
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

function ofUnit(diagnoses: readonly Diagnosis[], circuits: number): Diagnosis[] {
  if (circuits < 2) return [...diagnoses];
  const merged: Diagnosis[] = [];
  for (const one of diagnoses) {
    const alike = diagnoses.filter(({ cause }) => cause === one.cause);
    if (!shared.includes(one.cause) || alike.length < circuits) merged.push(one);
    else if (alike[0] === one)
      merged.push({
        ...alike.reduce((best, other) => (other.weight > best.weight ? other : best)),
        subject: { kind: 'unit' },
        symptoms: alike.flatMap(({ symptoms }) => symptoms),
      });
  }
  return merged;
}
