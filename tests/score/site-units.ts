import type { Finding } from '@coldrounds/core';
import type { CircuitCase, SimulatedCircuit } from '@coldrounds/simulator';

/** One habit of sites, as what it adds to a simulated case. */
export interface SiteHabit {
  name: string;
  case: (unit: number) => Partial<CircuitCase>;
  /** What of a simulated unit comes to the store; all of it as it is, when left out. */
  received?: (simulated: SimulatedCircuit, unit: number) => SimulatedCircuit;
  /** What is registered or mapped is wrong, or stands out by design: this condition is rightly watched on each unit. */
  watchedFor?: string;
  /** Telemetry so poor that no answer is a right answer. */
  silenceIsRight?: boolean;
}

const refrigerants = ['R134a', 'R410A', 'R1234ze(E)', 'R454B', 'R32', 'R513A'] as const;

/** The units that all scores are taken on: six refrigerants and sizes, cooled by water and by air in turn. */
export function unitCase(seed: number, unit: number, days: number): CircuitCase {
  return {
    seed: seed + unit,
    days,
    refrigerant: refrigerants[unit % refrigerants.length]!,
    condenser: unit % 2 === 0 ? 'water' : 'air',
    capacity_W: 120e3 + 40e3 * (unit % 6),
  };
}

/** One case of several parts; faults and load of a later part replace those of an earlier one. */
export const joined = (...parts: Partial<CircuitCase>[]): CircuitCase =>
  Object.assign({}, ...parts) as CircuitCase;

export const aboveWatch = ({ urgency }: Finding): boolean => urgency !== 'watch';

/** A finding in one line: condition, certainty, urgency and likeliest explanation. */
export const inWords = (finding: Finding): string => {
  const [first] = finding.explanations;
  const subject = finding.subject.kind === 'sensor' ? `${finding.subject.sensor} ` : '';
  const cause = first ? `: ${first.cause} ${first.weight.toFixed(2)}` : '';
  return `${subject}${finding.condition} (${finding.certainty}, ${finding.urgency}${cause})`;
};
