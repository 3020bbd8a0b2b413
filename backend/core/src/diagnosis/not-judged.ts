import type { Explanation, Finding } from './finding.js';
import { statement, type Statement } from './statement.js';

/** The part of a sensor finding that decides what is not judged until the sensor is fixed. */
export type SensorVerdict = Pick<Finding, 'condition' | 'subject' | 'certainty'>;

/** Conditions of a sensor that make the level of its reading, and with it superheat, unreliable. Scatter alone leaves a mean right. */
const levelWrong = new Set([
  'sensor-bias',
  'transducers-swapped',
  'gauge-taken-for-absolute',
  'wrong-refrigerant',
  'value-frozen',
  'value-jumping',
  'value-clipped',
  'sensor-loose',
]);

/** Of these, the ones whose swings may be the sensor's own; a bias or a wrong reference only moves the level. */
const swingWrong = new Set([
  'transducers-swapped',
  'value-frozen',
  'value-jumping',
  'value-clipped',
  'sensor-loose',
]);

const onLevel = new Set(['floodback-risk', 'starved', 'superheat-off-setpoint', 'headroom']);

/** What is not judged on a circuit until its sensors are fixed. */
export interface NotJudged {
  superheatLevel: boolean;
  superheatSwing: boolean;
  subcooling: boolean;
  /** A circuit's condenser is compared with the unit's others: a wrong reading on any of them makes another look fouled. */
  condenserComparison: boolean;
}

const circuitOf = ({ subject }: SensorVerdict): number | null =>
  subject.kind === 'sensor' || subject.kind === 'circuit' ? subject.circuit : null;

const counts = ({ certainty }: SensorVerdict): boolean => certainty !== 'possible';

/** A suction sensor that reads wrong, or properties of the wrong refrigerant, make superheat wrong. */
const makesSuperheatWrong = (verdict: SensorVerdict): boolean =>
  counts(verdict) &&
  levelWrong.has(verdict.condition) &&
  (verdict.condition === 'wrong-refrigerant' ||
    verdict.condition === 'transducers-swapped' ||
    (verdict.subject.kind === 'sensor' && verdict.subject.sensor.startsWith('suction')));

const makesSubcoolingWrong = (verdict: SensorVerdict): boolean =>
  counts(verdict) &&
  levelWrong.has(verdict.condition) &&
  (verdict.condition === 'wrong-refrigerant' ||
    verdict.condition === 'transducers-swapped' ||
    (verdict.subject.kind === 'sensor' &&
      (verdict.subject.sensor === 'discharge-pressure' || verdict.subject.sensor === 'liquid-temperature')));

/**
 * What is not judged on one circuit of a unit, given the findings on the unit's sensors: whatever depends on a
 * measurement found wrong with certainty `certain` or `likely`.
 *
 * @example notJudgedOn([{ condition: 'sensor-loose', certainty: 'likely',
 *   subject: { kind: 'sensor', circuit: 2, sensor: 'suction-temperature' } }], 2).superheatLevel // true
 */
export function notJudgedOn(verdicts: readonly SensorVerdict[], circuit: number): NotJudged {
  const own = verdicts.filter((verdict) => circuitOf(verdict) === circuit);
  const superheat = own.filter(makesSuperheatWrong);
  return {
    superheatLevel: superheat.length > 0,
    superheatSwing: superheat.some(({ condition }) => swingWrong.has(condition)),
    subcooling: own.some(makesSubcoolingWrong),
    condenserComparison: verdicts.some(makesSubcoolingWrong),
  };
}

/** Conditions of a circuit that are not claimed until its sensors are fixed, whatever its windows show. */
export function conditionsNotJudged(notJudged: NotJudged): string[] {
  return [
    ...(notJudged.superheatLevel ? onLevel : []),
    ...(notJudged.superheatSwing ? ['hunting'] : []),
    ...(notJudged.superheatLevel || notJudged.subcooling ? ['undercharge-suspected'] : []),
    ...(notJudged.condenserComparison ? ['condenser-fouling-suspected'] : []),
  ];
}

/**
 * The findings of a circuit that can be claimed before its sensors are fixed. What the valve itself shows stays, but a
 * controller that is given a wrong superheat drives it there: no other cause is offered until the measurement is right.
 */
export function withoutNotJudged(findings: readonly Finding[], notJudged: NotJudged): Finding[] {
  const notClaimed = conditionsNotJudged(notJudged);
  return findings
    .filter(({ condition }) => !notClaimed.includes(condition))
    .map((finding) =>
      notJudged.superheatLevel && finding.condition === 'valve-at-limit'
        ? { ...finding, explanations: [misled], separatingCheck: null, visit: [] }
        : finding,
    );
}

const misled: Explanation = {
  cause: 'the controller acts on a superheat that is measured wrong',
  weight: 1,
  speaksFor: [statement('A sensor from which the superheat of this circuit is computed reads wrong.')],
  speaksAgainst: [],
};

const sentence: Statement = statement(
  'Superheat on this circuit is not judged until the sensor is fixed: floodback, starving, distance from the setpoint, steady floor and headroom are not claimed.',
);

/** The sensor findings; each that makes superheat wrong says among its reasons what is not judged. */
export function sayingWhatIsNotJudged(findings: readonly Finding[]): Finding[] {
  return findings.map((finding) =>
    makesSuperheatWrong(finding) ? { ...finding, reasons: [...finding.reasons, sentence] } : finding,
  );
}
