import type { Statement } from './statement.js';

/** How soon a person should act. The order of this list is the order of the round. */
export const urgencies = ['today', 'this-week', 'next-visit', 'watch'] as const;
export type Urgency = (typeof urgencies)[number];

/** What a finding is about. `sensor` names the telemetry stream, e.g. `suction-pressure`. */
export type FindingSubject =
  | { kind: 'circuit'; circuit: number }
  | { kind: 'sensor'; circuit: number; sensor: string }
  | { kind: 'module'; module: number }
  | { kind: 'unit' };

export const certainties = ['certain', 'likely', 'possible'] as const;
export type Certainty = (typeof certainties)[number];

export interface Explanation {
  /** Plain cause, e.g. `valve friction or lost steps`. */
  cause: string;
  /** Probability among the explanations given, 0..1. */
  weight: number;
  /** Of a sensor that reads wrong: the likely ones by their telemetry names, with the probability of each among the explanations given. */
  sensors?: { sensor: string; weight: number }[];
  supports: Statement[];
  contradicts: Statement[];
}

/**
 * One condition on one circuit, sensor or module, with its evidence, certainty and urgency.
 * `condition` is a stable lower-case hyphenated word group of our own (e.g. `hunting`, `cannot-close`), unique per subject.
 */
export interface Finding {
  condition: string;
  subject: FindingSubject;
  headline: Statement;
  /** The evidence: each a sentence with its numbers, most telling first; says on how much data it is based. */
  reasons: Statement[];
  explanations: Explanation[];
  /** The one check, done remotely where possible, that separates the two likeliest explanations. */
  separatingCheck: Statement | null;
  certainty: Certainty;
  urgency: Urgency;
  waiting: WaitingCost;
  /** What to bring or do on a visit; shown with the cautions. */
  visit: Statement[];
  /** Which cautions belong to hands on this finding. */
  hazards: Hazard[];
  /** Of a finding on a sensor: its error, where that could be measured. */
  error?: SensorError;
  /** Its figures are of superheat without the measured errors of the sensors, and not of what was read. */
  corrected?: true;
  /** Of sensors swapped between circuits: what shows it, where that is how readings answer the valves. */
  shownBy?: 'valve-answers';
  /** When the condition was first and last seen in the data, s since the epoch. */
  firstSeen_s: number;
  lastSeen_s: number;
}

/** What a sensor's readings are off by, in the SI unit of the reading. */
export interface SensorError {
  /** Reading less true value, and its standard uncertainty. */
  bias: number;
  uncertainty: number;
  /** Standard deviation of the noise on single readings; left out where it is within the sensor's class. */
  noise?: number;
}

/** What waiting costs, in a sentence and as a comparable number: expected loss per week on a 0..100 scale. */
export interface WaitingCost {
  score: number;
  sentence: Statement;
}

export const hazards = [
  'pressure',
  'flammable',
  'toxic',
  'live-parts',
  'charged-capacitor',
  'rotating-parts',
] as const;
export type Hazard = (typeof hazards)[number];
