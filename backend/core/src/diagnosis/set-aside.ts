import type { Explanation, Finding } from './finding.js';
import { quantity, statement, type Statement } from './statement.js';

/** What decides whether a sensor finding takes a measurement out of the reckoning. */
export type SensorVerdict = Pick<Finding, 'condition' | 'subject' | 'certainty'>;

/** Conditions of a sensor that make its level, and with it superheat, unbelievable. Scatter alone leaves a mean right. */
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

/** Which judgements of a circuit cannot stand while its sensors are as found. */
export interface SetAside {
  superheatLevel: boolean;
  superheatSwing: boolean;
  subcooling: boolean;
  /** A circuit's condenser is compared with the unit's others: a wrong reading on any of them makes another look fouled. */
  condenserComparison: boolean;
}

const circuitOf = ({ subject }: SensorVerdict): number | null =>
  subject.kind === 'sensor' || subject.kind === 'circuit' ? subject.circuit : null;

const counts = ({ certainty }: SensorVerdict): boolean => certainty !== 'possible';

/** A suction sensor that reads wrong, or properties of the wrong refrigerant, take superheat with them. */
const takesSuperheat = (verdict: SensorVerdict): boolean =>
  counts(verdict) &&
  levelWrong.has(verdict.condition) &&
  (verdict.condition === 'wrong-refrigerant' ||
    verdict.condition === 'transducers-swapped' ||
    (verdict.subject.kind === 'sensor' && verdict.subject.sensor.startsWith('suction')));

const takesSubcooling = (verdict: SensorVerdict): boolean =>
  counts(verdict) &&
  levelWrong.has(verdict.condition) &&
  (verdict.condition === 'wrong-refrigerant' ||
    verdict.condition === 'transducers-swapped' ||
    (verdict.subject.kind === 'sensor' &&
      (verdict.subject.sensor === 'discharge-pressure' || verdict.subject.sensor === 'liquid-temperature')));

/**
 * What the findings on the sensors of a unit set aside on one of its circuits: a judgement that rests on a measurement found wrong, with
 * certainty `certain` or `likely`, is no evidence of anything but that.
 *
 * @example setAsideBy([{ condition: 'sensor-loose', certainty: 'likely',
 *   subject: { kind: 'sensor', circuit: 2, sensor: 'suction-temperature' } }], 2).superheatLevel // true
 */
export function setAsideBy(verdicts: readonly SensorVerdict[], circuit: number): SetAside {
  const own = verdicts.filter((verdict) => circuitOf(verdict) === circuit);
  const superheat = own.filter(takesSuperheat);
  return {
    superheatLevel: superheat.length > 0,
    superheatSwing: superheat.some(({ condition }) => swingWrong.has(condition)),
    subcooling: own.some(takesSubcooling),
    condenserComparison: verdicts.some(takesSubcooling),
  };
}

/** Conditions of a circuit that must not be claimed, whatever its windows seem to say. */
export function conditionsSetAside(aside: SetAside): string[] {
  return [
    ...(aside.superheatLevel ? onLevel : []),
    ...(aside.superheatSwing ? ['hunting'] : []),
    ...(aside.superheatLevel || aside.subcooling ? ['undercharge-suspected'] : []),
    ...(aside.condenserComparison ? ['condenser-fouling-suspected'] : []),
  ];
}

/**
 * Findings of a circuit as they may stand while its sensors are as found. What the valve itself shows stays, but a
 * controller that is told a wrong superheat drives it there: no other cause is offered until the measurement is right.
 */
export function asFarAsBelieved(findings: readonly Finding[], aside: SetAside): Finding[] {
  const notClaimed = conditionsSetAside(aside);
  return findings
    .filter(({ condition }) => !notClaimed.includes(condition))
    .map((finding) =>
      aside.superheatLevel && finding.condition === 'valve-at-limit'
        ? { ...finding, explanations: [misled], separatingCheck: null, visit: [] }
        : finding,
    );
}

const misled: Explanation = {
  cause: 'the controller acts on a superheat that is measured wrong',
  weight: 1,
  speaksFor: [statement('A measurement behind the superheat of this circuit is found wrong.')],
  speaksAgainst: [],
};

const sentence: Statement = statement(
  'Until the measurement is right, judgement of superheat on this circuit is set aside: floodback, starving, distance from the setpoint, steady floor and headroom are not claimed.',
);

/** The sensor findings, each that takes superheat with it saying so among its reasons. */
export function withSetAside(findings: readonly Finding[]): Finding[] {
  return findings.map((finding) =>
    takesSuperheat(finding) ? { ...finding, reasons: [...finding.reasons, sentence] } : finding,
  );
}

/**
 * One finding on the unit where every one of its circuits behaves like another refrigerant: the registry or the charge
 * of the unit is wrong, not the sensors of several circuits. Other findings stay as they are; a unit of one circuit keeps its own.
 */
export function mergeWrongRefrigerant<F extends Finding>(findings: readonly F[], circuits: number): F[] {
  const wrong = findings.filter(
    ({ condition, subject }) => condition === 'wrong-refrigerant' && subject.kind === 'sensor',
  );
  if (circuits < 2 || new Set(wrong.map(circuitOf)).size < circuits) return [...findings];
  const first = wrong[0]!;
  const merged: F = {
    ...first,
    subject: { kind: 'unit' },
    headline: statement(
      first.headline.text.replace(/^The circuit behaves/, 'All {circuits} circuits behave'),
      {
        ...first.headline.quantities,
        circuits: quantity('count', circuits),
      },
    ),
    // Sentences that hold for each circuit alike are said once.
    reasons: wrong
      .flatMap(({ reasons }) => reasons)
      .filter(({ text }, index, all) => all.findIndex((other) => other.text === text) === index),
    certainty: wrong.every(({ certainty }) => certainty === first.certainty) ? first.certainty : 'likely',
    waiting: {
      ...first.waiting,
      score: Math.max(...wrong.map(({ waiting }) => waiting.score)),
    },
    firstSeen_s: Math.min(...wrong.map(({ firstSeen_s }) => firstSeen_s)),
    lastSeen_s: Math.max(...wrong.map(({ lastSeen_s }) => lastSeen_s)),
  };
  return findings.flatMap((finding) =>
    finding === first ? [merged] : wrong.includes(finding) ? [] : [finding],
  );
}
