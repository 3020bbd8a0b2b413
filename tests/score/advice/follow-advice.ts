import { diagnoseUnit, type Advice, type Cause, type UnitDiagnosis } from '@coldrounds/core';
import {
  faultLevels,
  simulateCircuit,
  type CircuitCase,
  type Fault,
  type Severity,
} from '@coldrounds/simulator';
import type { TestUnit } from '../faults/test-fleet.js';
import { bestTuning, settlingTime } from './settling.js';

export const troubles = [
  'loop tuned too hard',
  'valve too large',
  'setpoint under the steady floor',
] as const;
export type Trouble = (typeof troubles)[number];

const causes: Record<Trouble, Cause> = {
  'loop tuned too hard': 'loop-tuned-too-hard',
  'valve too large': 'valve-too-large',
  'setpoint under the steady floor': 'setpoint-under-steady-floor',
};
/** What must not be found once the advice is followed. */
const symptoms = ['hunting', 'floodback-risk', 'starved', 'valve-at-limit'];

export interface Followed {
  unit: TestUnit;
  severity: Severity;
  /** Whether hunting or floodback was found at all. */
  troubled: boolean;
  /** Whether the cause was named, in whatever line. */
  named: boolean;
  advised: boolean;
  ended: boolean;
  /** What is still found when it did not end. */
  left: string[];
  settling: { advised_s: number; best_s: number } | null;
}

export interface FollowOptions {
  /** Days with the trouble, and with the advice followed. */
  days: number;
  /** Runs of each load step; 0: settling is not measured. */
  runs: number;
}

/** Simulates a circuit with a trouble, judges it, does what is advised and judges it again. */
export function followAdvice(
  trouble: Trouble,
  unit: TestUnit,
  severity: Severity,
  { days, runs }: FollowOptions,
): Followed {
  const fault: Fault = {
    ...faultLevels.find(({ name }) => name === trouble)!.levels[severity],
    circuit: 1,
  };
  // A setpoint was another before; a loop and a valve are as they were built.
  const before = judged(
    trouble === 'setpoint under the steady floor'
      ? { ...unit.case, days: 2 * days, faults: [{ ...fault, sinceDaysAgo: days }] }
      : { ...unit.case, days, faults: [fault] },
  );
  const own = before.diagnoses.find(
    ({ cause, subject }) =>
      cause === causes[trouble] && (subject.kind !== 'circuit' || subject.circuit === 1),
  );
  const advice = own?.advice ?? null;
  const result: Followed = {
    unit,
    severity,
    troubled: foundIn(before).some((condition) => ['hunting', 'floodback-risk'].includes(condition)),
    named: own !== undefined,
    advised: advice !== null,
    ended: false,
    left: [],
    settling: null,
  };
  if (advice === null) return result;
  const mended = followed(unit.case, fault, advice);
  const left = foundIn(judged({ ...mended, days })).filter((condition) => symptoms.includes(condition));
  return {
    ...result,
    ended: left.length === 0,
    left,
    settling: fault.kind === 'loop-tuned-too-hard' && runs > 0 ? settlingOf(mended, runs) : null,
  };
}

function judged(input: CircuitCase): UnitDiagnosis {
  const { unit, series, neighbours } = simulateCircuit(input);
  return diagnoseUnit({ unit, altitude_m: 100, circuits: [series, ...neighbours] });
}

const foundIn = ({ findings }: UnitDiagnosis): string[] => [
  ...new Set(
    findings
      .filter(({ subject }) => subject.kind !== 'circuit' || subject.circuit === 1)
      .map(({ condition }) => condition),
  ),
];

/** Sizes that are sold, Kv in m3/h (the series of preferred numbers R5). */
const sizes = [0.25, 0.4, 0.63, 1, 1.6, 2.5, 4, 6.3, 10, 16, 25];
/** A valve is chosen to stand at no more than this share of its stroke (common practice, no source). */
const mostOpen = 0.8;

/** The circuit after somebody did what is advised. */
function followed(unit: CircuitCase, fault: Fault, { figures }: Advice): CircuitCase {
  switch (fault.kind) {
    case 'loop-tuned-too-hard':
      return {
        ...unit,
        faults: [
          {
            ...fault,
            gain: fault.gain! * figures.gain.value,
            integralTime: fault.integralTime! * figures.integralTime.value,
          },
        ],
      };
    case 'setpoint':
      return { ...unit, faults: [{ ...fault, setpoint_K: figures.setpoint.value }] };
    default: {
      const kv_m3_h = sizes.find((size) => mostOpen * size >= figures.highestLoad.high)!;
      // A larger valve than the settings are steady with gets a lower gain, in proportion.
      const gain = Math.min(1, (figures.steadyUpTo?.value ?? Infinity) / kv_m3_h);
      const tuned = { kind: 'loop-tuned-too-hard' as const, gain, integralTime: 1, circuit: 1 };
      return { ...unit, kv_m3_h, faults: gain < 1 ? [tuned] : [] };
    }
  }
}

function settlingOf(mended: CircuitCase, runs: number): Followed['settling'] {
  const [fault] = mended.faults!;
  if (fault.kind !== 'loop-tuned-too-hard') return null;
  const tuning = { gain: fault.gain!, integralTime: fault.integralTime! };
  return {
    advised_s: settlingTime(mended, tuning, runs),
    best_s: bestTuning(mended, runs).settling_s,
  };
}
