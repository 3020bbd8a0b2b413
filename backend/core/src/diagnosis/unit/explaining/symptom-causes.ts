import { causeNames } from '../../../hunting/causes/hunting-causes.js';
import type { HuntingCause } from '../../../steadiness/circuit-assessment.js';
import { supplyCauseNames, type SupplyCause } from '../../../steadiness/findings/supply/liquid-supply.js';
import { causes, type Cause } from '../../cause.js';
import { sensorWords } from '../../../sensors/findings/sensor-findings.js';
import type { SensorName } from '../../../sensors/standstill/thermal-consensus.js';
import type { Finding } from '../../finding.js';
import { causeName } from './cause-wording.js';

/** A cause that a symptom points to, with the probability that the symptom alone gives it. */
export interface Suspect {
  cause: Cause;
  weight: number;
}

const ofHunting: Record<HuntingCause, Cause> = {
  'valve-friction': 'valve-friction',
  'loop-too-tight': 'loop-tuned-too-hard',
  'valve-too-large': 'valve-too-large',
  'load-or-water-swings': 'load-swings',
  'under-steady-floor': 'setpoint-under-steady-floor',
  'circuits-disturb-each-other': 'circuits-disturb-each-other',
  'measurement-noise': 'measurement-noise',
};

const ofSupply: Record<SupplyCause, Cause> = {
  'missing-refrigerant': 'missing-refrigerant',
  restriction: 'liquid-line-restricted',
  'valve-too-small': 'valve-too-small',
  'valve-does-not-open': 'valve-offset',
  hunting: 'loop-tuned-too-hard',
};

/** Causes by the sentence that an explanation gives them. */
const bySentence = new Map<string, Cause>([
  ...causes.map((cause) => [causeName(cause), cause] as const),
  ...(Object.entries(causeNames) as [HuntingCause, string][]).map(
    ([key, name]) => [name, ofHunting[key]] as const,
  ),
  ['one cell of the string has lost capacitance', 'capacitor-cell-weak'],
  ['the module ran out of energy', 'capacitor-worn'],
  ['the valve sticks or its motor lost steps', 'valve-friction'],
  ['the charger is set too low or is worn', 'charger-weak'],
  ['leakage in the module pulls the charging voltage down', 'module-leaks'],
  ...(Object.entries(supplyCauseNames) as [SupplyCause, string][]).map(
    ([key, name]) => [name, ofSupply[key]] as const,
  ),
]);

/** What a symptom points to by itself where its finding explains nothing further. Judgement, no source. */
const byCondition: Record<string, Suspect[]> = {
  'sensor-bias': [{ cause: 'sensor-wrong', weight: 0.95 }],
  'sensor-loose': [{ cause: 'sensor-wrong', weight: 0.95 }],
  'readings-impossible': [
    { cause: 'registry-wrong', weight: 0.8 },
    { cause: 'sensor-wrong', weight: 0.15 },
  ],
  'sensor-misplaced': [
    { cause: 'registry-wrong', weight: 0.6 },
    { cause: 'sensor-wrong', weight: 0.35 },
  ],
  'value-frozen': [{ cause: 'sensor-wrong', weight: 0.95 }],
  'value-jumping': [{ cause: 'sensor-wrong', weight: 0.9 }],
  'value-clipped': [{ cause: 'sensor-wrong', weight: 0.9 }],
  'value-noisy': [{ cause: 'measurement-noise', weight: 0.9 }],
  'swapped-between-circuits': [{ cause: 'sensors-swapped', weight: 0.95 }],
  'pressures-meet-fast': [
    { cause: 'valve-leaks-by', weight: 0.75 },
    { cause: 'compressor-weak', weight: 0.15 },
  ],
  'transducers-swapped': [{ cause: 'sensors-swapped', weight: 0.95 }],
  'gauge-taken-for-absolute': [{ cause: 'registry-wrong', weight: 0.95 }],
  'wrong-refrigerant': [
    { cause: 'registry-wrong', weight: 0.8 },
    { cause: 'something-else', weight: 0.2 },
  ],
  headroom: [{ cause: 'setpoint-too-high', weight: 0.9 }],
  'undercharge-suspected': [
    { cause: 'missing-refrigerant', weight: 0.7 },
    { cause: 'sensor-wrong', weight: 0.2 },
  ],
  'condenser-fouling-suspected': [
    { cause: 'condenser-fouled', weight: 0.45 },
    { cause: 'condenser-flow-low', weight: 0.2 },
    { cause: 'gas-in-circuit', weight: 0.15 },
    { cause: 'sensor-wrong', weight: 0.1 },
  ],
  'floodback-risk': [
    { cause: 'setpoint-under-steady-floor', weight: 0.25 },
    { cause: 'valve-leaks-by', weight: 0.15 },
    { cause: 'loop-tuned-too-hard', weight: 0.1 },
    { cause: 'sensor-wrong', weight: 0.1 },
  ],
  'superheat-below-zero': [{ cause: 'sensor-wrong', weight: 0.4 }],
  'cannot-close': [{ cause: 'capacitor-worn', weight: 0.7 }],
  'reserve-fading': [{ cause: 'capacitor-worn', weight: 0.9 }],
  'weak-cell': [{ cause: 'capacitor-cell-weak', weight: 0.9 }],
  'leaking-charge': [{ cause: 'module-leaks', weight: 0.9 }],
  'closing-unproven': [{ cause: 'module-unproven', weight: 0.95 }],
  starved: [
    { cause: 'missing-refrigerant', weight: 0.35 },
    { cause: 'liquid-line-restricted', weight: 0.25 },
    { cause: 'valve-too-small', weight: 0.2 },
  ],
};

/**
 * A discharge pressure that reads high, at standstill as while running: a transducer that is off, or gas that does not
 * condense, whose pressure adds to that of the refrigerant. Judgement, no source.
 */
const gasOrSensor: Suspect[] = [
  { cause: 'sensor-wrong', weight: 0.6 },
  { cause: 'gas-in-circuit', weight: 0.4 },
];

/**
 * A discharge pressure that reads high at standstill, against other instruments or against the suction pressure alone: gas
 * stays in the condenser once the valve is shut, and its pressure with it.
 */
export const readsHighAtDischarge = (finding: Finding): boolean =>
  finding.condition === 'sensor-bias' &&
  finding.subject.kind === 'sensor' &&
  finding.subject.sensor === 'discharge-pressure' &&
  ((finding.error !== undefined && finding.error.bias > 0) || isOverOther(finding));

/** The reading lies above that of the other transducer of the circuit, and one of the two may be wrong. */
export const isOverOther = ({ subject, explanations }: Finding): boolean =>
  subject.kind === 'sensor' &&
  explanations.some(
    ({ cause }) => cause === `the ${sensorWords[subject.sensor as SensorName]} reads too high`,
  );

/** What a symptom points to, from its own explanations where they name known causes; the rest is `something-else`. */
export function suspectsOf(finding: Finding): Suspect[] {
  const { condition, explanations } = finding;
  const named = explanations.flatMap(({ cause, weight }) => {
    const known = bySentence.get(cause);
    return known === undefined ? [] : [{ cause: known, weight }];
  });
  const suspects =
    named.length > 0 ? named : readsHighAtDischarge(finding) ? gasOrSensor : (byCondition[condition] ?? []);
  const rest = 1 - suspects.reduce((sum, { weight }) => sum + weight, 0);
  return rest > 0.02 ? withElse(suspects, rest) : suspects;
}

function withElse(suspects: readonly Suspect[], rest: number): Suspect[] {
  const others = suspects.filter(({ cause }) => cause !== 'something-else');
  const before = suspects.find(({ cause }) => cause === 'something-else')?.weight ?? 0;
  return [...others, { cause: 'something-else', weight: before + rest }];
}

const ofSwing = ['hunting', 'floodback-risk', 'superheat-off-setpoint', 'valve-wear', 'starved'];
const ofReading = [
  ...ofSwing,
  'superheat-below-zero',
  'headroom',
  'undercharge-suspected',
  'condenser-fouling-suspected',
  'valve-at-limit',
  'departs-from-normal',
  // What is left of a difference of pressures is no better known than they are.
  'pressures-meet-fast',
];
const ofShortage = [
  'undercharge-suspected',
  'starved',
  'valve-at-limit',
  'superheat-off-setpoint',
  'departs-from-normal',
];
const ofCondenser = ['condenser-fouling-suspected', 'departs-from-normal'];
const ofEvaporator = ['departs-from-normal', 'superheat-off-setpoint', 'floodback-risk'];

const ofReserve = ['cannot-close', 'reserve-fading', 'did-not-shut', 'floodback-at-restart', 'health-fault'];

/** Symptoms that follow from a cause once it is there: they are no problems of their own. */
const consequences: Partial<Record<Cause, readonly string[]>> = {
  'sensor-wrong': ofReading,
  'sensors-swapped': [...ofReading, 'sensor-loose'],
  'registry-wrong': ofReading,
  'measurement-noise': ['hunting', 'floodback-risk', 'value-noisy', 'valve-wear'],
  'loop-tuned-too-hard': ofSwing,
  'valve-too-large': [...ofSwing, 'valve-at-limit'],
  'valve-friction': ofSwing,
  'load-swings': ofSwing,
  'circuits-disturb-each-other': ofSwing,
  // A setpoint that was lowered is off what superheat was at before.
  'setpoint-under-steady-floor': ['hunting', 'floodback-risk', 'valve-wear', 'departs-from-normal'],
  'valve-leaks-by': ['floodback-risk'],
  'valve-too-small': ['starved', 'valve-at-limit', 'superheat-off-setpoint'],
  'valve-offset': ['starved', 'valve-at-limit', 'superheat-off-setpoint', 'departs-from-normal'],
  // Liquid that stands in the condenser keeps its pressure up after a stop by boiling; vapour alone is soon gone through any seat.
  'missing-refrigerant': [...ofShortage, 'pressures-meet-fast'],
  'liquid-line-restricted': ofShortage,
  'excess-refrigerant': [...ofCondenser, 'floodback-risk'],
  'gas-in-circuit': ofCondenser,
  'condenser-fouled': ofCondenser,
  'condenser-flow-low': ofCondenser,
  'evaporator-fouled': ofEvaporator,
  'evaporator-flow-low': ofEvaporator,
  'compressor-weak': ['departs-from-normal'],
  // Leakage grows as a double-layer capacitor wears (IEC 62391-1 tests it beside capacitance and resistance, from memory).
  'capacitor-worn': [...ofReserve, 'leaking-charge'],
  'capacitor-cell-weak': [...ofReserve, 'sudden-loss'],
  'charger-weak': ofReserve,
  // A charger makes up for leakage: it takes nothing from the capacitance that closings are measured by.
  'module-leaks': ['charger-low', 'health-fault'],
};

export const explains = (cause: Cause, condition: string): boolean =>
  consequences[cause]?.includes(condition) ?? false;
