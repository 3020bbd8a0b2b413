import type { Finding } from '@coldrounds/core';
import type { CircuitCase } from '@coldrounds/simulator';

/** A fault, what names it, and what else is true of a circuit that has it. */
export interface SiteFault {
  name: string;
  case: Partial<CircuitCase>;
  /** Whether a finding names the fault. */
  named: (finding: Finding) => boolean;
  /** Conditions that the fault really brings about. */
  follows: readonly string[];
}

/** A hunting finding whose likeliest explanation is one of these. */
const hunts =
  (...causes: string[]) =>
  ({ condition, explanations }: Finding) =>
    condition === 'hunting' && causes.some((cause) => (explanations[0]?.cause ?? '').includes(cause));

const sensor =
  (condition: string, name: string) =>
  (finding: Finding): boolean =>
    finding.condition === condition && finding.subject.kind === 'sensor' && finding.subject.sensor === name;

const busy = { base: 0.75, occupied: 0.12, perTenKelvin: 0.05, spread: 0.03 };
/** What hunting brings with it. */
const unsteady = ['hunting', 'valve-wear', 'floodback-risk', 'superheat-off-setpoint', 'valve-at-limit'];

export const siteFaults: readonly SiteFault[] = [
  {
    name: 'loop tuned too hard',
    case: { faults: [{ kind: 'loop-tuned-too-hard' }], load: busy },
    named: hunts('tuned'),
    follows: unsteady,
  },
  {
    name: 'valve too large',
    case: { faults: [{ kind: 'valve-too-large' }] },
    named: hunts('too large'),
    follows: unsteady,
  },
  {
    name: 'valve friction',
    case: { faults: [{ kind: 'valve-friction' }], load: busy },
    named: hunts('friction'),
    follows: unsteady,
  },
  {
    name: 'load swing',
    case: { faults: [{ kind: 'load-swing', amplitude_K: 2.5 }], load: busy },
    named: hunts('load', 'water'),
    follows: unsteady,
  },
  {
    name: 'circuits disturb each other',
    case: { faults: [{ kind: 'circuits-disturbing' }], load: busy },
    named: hunts('circuits'),
    follows: unsteady,
  },
  {
    name: 'setpoint under the steady floor',
    case: { faults: [{ kind: 'setpoint', setpoint_K: 2.6 }], load: busy },
    named: (finding) => finding.condition === 'floodback-risk' || hunts('floor')(finding),
    follows: unsteady,
  },
  {
    name: 'missing refrigerant',
    case: { faults: [{ kind: 'undercharge', share: 0.32 }], load: busy },
    named: (finding) =>
      finding.condition === 'undercharge-suspected' ||
      (finding.condition === 'starved' && (finding.explanations[0]?.cause ?? '').includes('refrigerant')),
    follows: ['starved', 'valve-at-limit', 'superheat-off-setpoint'],
  },
  {
    name: 'liquid line restricted',
    case: { faults: [{ kind: 'liquid-line-restriction', share: 0.62 }], load: busy },
    named: ({ condition }) => condition === 'starved' || condition === 'valve-at-limit',
    follows: ['superheat-off-setpoint'],
  },
  {
    name: 'condenser of one circuit fouled',
    case: { faults: [{ kind: 'condenser-fouling', share: 0.45, circuit: 1 }], circuits: 2, load: busy },
    named: ({ condition }) => condition === 'condenser-fouling-suspected',
    follows: [],
  },
  {
    name: 'suction transducer reads high',
    case: { faults: [{ kind: 'sensor-bias', sensor: 'suction-pressure', bias: 25_000 }] },
    named: sensor('sensor-bias', 'suction-pressure'),
    follows: ['superheat-off-setpoint'],
  },
  {
    name: 'gauge taken for absolute',
    case: { faults: [{ kind: 'gauge-taken-for-absolute', sensor: 'suction-pressure' }] },
    named: sensor('gauge-taken-for-absolute', 'suction-pressure'),
    // Superheat as read here is then not the controller's, which is what that finding says.
    follows: ['superheat-off-setpoint'],
  },
  {
    name: 'liquid thermometer stuck',
    case: { faults: [{ kind: 'value-frozen', sensor: 'liquid-temperature' }] },
    named: sensor('value-frozen', 'liquid-temperature'),
    follows: [],
  },
];
