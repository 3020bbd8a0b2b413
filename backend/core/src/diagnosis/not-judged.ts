import type { Explanation, Finding, SensorError } from './finding.js';
import { statement, type Statement } from './statement.js';

/** The part of a sensor finding that decides what is corrected, and what is not judged until the sensor is fixed. */
export type SensorVerdict = Pick<Finding, 'condition' | 'subject' | 'certainty'> & {
  error?: SensorError | null | undefined;
  firstSeen_s?: number | undefined;
};

/** Conditions of a sensor that make the level of its reading, and with it superheat, unreliable. Scatter alone leaves a mean right. */
const levelWrong = new Set([
  'sensor-bias',
  'transducers-swapped',
  'gauge-taken-for-absolute',
  'wrong-refrigerant',
  'value-frozen',
  'value-clipped',
  'sensor-loose',
  'sensor-misplaced',
  'readings-impossible',
]);

/** Of these, the ones whose swings may be the sensor's own; a bias or a wrong reference only moves the level. */
const swingWrong = new Set([
  'transducers-swapped',
  'value-frozen',
  'value-clipped',
  'sensor-loose',
  'sensor-misplaced',
  'readings-impossible',
]);

/** Faults of what is registered, not of the machine: its controller has settings of its own. */
const registryWrong = new Set([
  'gauge-taken-for-absolute',
  'wrong-refrigerant',
  'sensor-misplaced',
  'readings-impossible',
]);

/** What is said of one sensor, and makes all readings doubtful that are worked out with it. */
const onAnySensor = new Set(['wrong-refrigerant', 'transducers-swapped', 'readings-impossible']);

const onLevel = [
  'floodback-risk',
  'superheat-below-zero',
  'starved',
  'superheat-off-setpoint',
  'headroom',
] as const;

/** What is not judged on a circuit until its sensors are fixed. */
export interface NotJudged {
  superheatLevel: boolean;
  superheatSwing: boolean;
  subcooling: boolean;
  /** Superheat of the discharge, by which a flooded evaporator is judged. */
  dischargeSuperheat: boolean;
  /** The controller is given a wrong superheat, corrected here or not, and drives the valve by it. */
  controllerMisled: boolean;
  /** A circuit's condenser is compared with the unit's others: a wrong reading on any of them makes another look fouled. */
  condenserComparison: boolean;
}

const circuitOf = ({ subject }: SensorVerdict): number | null =>
  subject.kind === 'sensor' || subject.kind === 'circuit' ? subject.circuit : null;

/** An error that was measured with more than a mere possibility is corrected; what depends on any other is not judged. */
export const isCorrected = ({ certainty, error }: SensorVerdict): boolean =>
  error !== undefined && error !== null && certainty !== 'possible';

const isOn = ({ condition, subject }: SensorVerdict, sensors: readonly string[]): boolean =>
  levelWrong.has(condition) &&
  (onAnySensor.has(condition) || (subject.kind === 'sensor' && sensors.includes(subject.sensor)));

/** A suction sensor that reads wrong, or properties of the wrong refrigerant, make superheat wrong. */
const makesSuperheatWrong = (verdict: SensorVerdict): boolean =>
  isOn(verdict, ['suction-pressure', 'suction-temperature']);
const makesSubcoolingWrong = (verdict: SensorVerdict): boolean =>
  isOn(verdict, ['discharge-pressure', 'liquid-temperature']);
const makesDischargeSuperheatWrong = (verdict: SensorVerdict): boolean =>
  isOn(verdict, ['discharge-pressure', 'discharge-temperature', 'suction-pressure']);

/**
 * What is not judged on one circuit of a unit, given the findings on the unit's sensors: whatever depends on a reading
 * that may be wrong, be it only possibly, unless its error was measured and is corrected.
 *
 * @param figures `as-read`: of figures to which no correction is applied, such as a reading of this moment.
 * @example notJudgedOn([{ condition: 'sensor-loose', certainty: 'likely',
 *   subject: { kind: 'sensor', circuit: 2, sensor: 'suction-temperature' } }], 2).superheatLevel // true
 */
export function notJudgedOn(
  verdicts: readonly SensorVerdict[],
  circuit: number,
  figures: 'corrected' | 'as-read' = 'corrected',
): NotJudged {
  const left = figures === 'corrected' ? verdicts.filter((verdict) => !isCorrected(verdict)) : verdicts;
  const own = left.filter((verdict) => circuitOf(verdict) === circuit);
  const superheat = own.filter(makesSuperheatWrong);
  // Of another refrigerant only superheat is recomputed: condensing and discharge stay read by the registered one.
  const wrongRefrigerant = verdicts.some(
    (verdict) => verdict.condition === 'wrong-refrigerant' && circuitOf(verdict) === circuit,
  );
  // Only the circuit's own figures are corrected, not those of the circuits that it is compared with.
  const others = verdicts.filter((verdict) => circuitOf(verdict) !== circuit);
  return {
    superheatLevel: superheat.length > 0,
    superheatSwing: superheat.some(({ condition }) => swingWrong.has(condition)),
    subcooling: wrongRefrigerant || own.some(makesSubcoolingWrong),
    dischargeSuperheat: wrongRefrigerant || own.some(makesDischargeSuperheatWrong),
    controllerMisled: verdicts.some(
      (verdict) =>
        circuitOf(verdict) === circuit &&
        makesSuperheatWrong(verdict) &&
        !registryWrong.has(verdict.condition),
    ),
    condenserComparison: wrongRefrigerant || [...own, ...others].some(makesSubcoolingWrong),
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
      (notJudged.superheatLevel || notJudged.controllerMisled) && finding.condition === 'valve-at-limit'
        ? misled(finding)
        : finding,
    );
}

/** A valve at its limit whose controller acts on a wrong superheat: the danger is what the valve does, not a lack of capacity. */
const misled = (finding: Finding): Finding => ({
  ...finding,
  explanations: [
    {
      cause: 'the controller acts on a superheat that is measured wrong',
      weight: 1,
      supports: [statement('A sensor from which the superheat of this circuit is computed reads wrong.')],
      contradicts: [],
    } satisfies Explanation,
  ],
  separatingCheck: null,
  waiting: {
    ...finding.waiting,
    sentence: (finding.headline.quantities.limit?.value ?? 0) >= 50 ? drivenOpen : drivenShut,
  },
  visit: [],
});

const drivenOpen: Statement = statement(
  'A valve that is driven open by a wrong superheat feeds more liquid than evaporates: it can reach the compressor.',
);
const drivenShut: Statement = statement(
  'A valve that is driven shut by a wrong superheat starves the evaporator: capacity is lost.',
);

const notJudgedSentence: Statement = statement(
  'Superheat on this circuit is not judged until the sensor is fixed: floodback, starving, distance from the setpoint, steady floor and headroom are not reported.',
);
const correctedSentence: Statement = statement(
  'Until the sensor is fixed, superheat is recomputed without this error, and floodback and starving are judged on that; steady floor and headroom are not reported.',
);

/** The sensor findings; each that makes superheat wrong says among its reasons what is corrected or not judged. */
export function withWhatIsNotJudged(findings: readonly Finding[]): Finding[] {
  return findings.map((finding) =>
    makesSuperheatWrong(finding)
      ? {
          ...finding,
          reasons: [...finding.reasons, isCorrected(finding) ? correctedSentence : notJudgedSentence],
        }
      : finding,
  );
}
