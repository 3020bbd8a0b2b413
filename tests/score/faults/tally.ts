import type { Severity } from '@coldrounds/simulator';
import type { CaseResult, HealthyResult, Stated } from './run-case.js';

/** Results as the field reports them (after Yuill & Braun): of each case one outcome. */
export interface Tally {
  cases: number;
  /** The first diagnosis names the fault; of a fault that is none of the machine, a finding of its own does and no diagnosis is made. */
  correct: number;
  /** The first diagnosis names something else; above `watch`, and in all. */
  misdiagnosed: number;
  misdiagnosedAboveWatch: number;
  /** There is a normal to compare with, and nothing is said. */
  missed: number;
  /** Nothing is said, and nothing could be compared. */
  noResponse: number;
  /** Days until the fault was named first, of those that were. */
  days: number[];
}

export interface FaultRow {
  fault: string;
  severity: Severity;
  results: CaseResult[];
}

const aboveWatch = ({ urgency }: Stated): boolean => urgency !== 'watch';

const isToldOtherwise = ({ named }: CaseResult): boolean => named.length > 0 && named.every(Boolean);

export function tallyOf(results: readonly CaseResult[]): Tally {
  const found = results.filter(({ stated }) => stated.length > 0);
  const told = results.filter((one) => one.stated.length === 0 && isToldOtherwise(one));
  const silent = results.filter((one) => one.stated.length === 0 && !isToldOtherwise(one));
  const wrong = found.filter(({ stated }) => !stated[0]!.right);
  return {
    cases: results.length,
    correct: found.length - wrong.length + told.length,
    misdiagnosed: wrong.length,
    misdiagnosedAboveWatch: wrong.filter(({ stated }) => aboveWatch(stated[0]!)).length,
    missed: silent.filter(({ learned }) => learned).length,
    noResponse: silent.filter(({ learned }) => !learned).length,
    days: results.flatMap(({ days }) => days ?? []).sort((a, b) => a - b),
  };
}

/** Cases in which something was said. */
export const foundOf = ({ correct, misdiagnosed }: Tally): number => correct + misdiagnosed;

export interface HealthyTally {
  units: number;
  unitMonths: number;
  /** Diagnoses on units in which nothing is wrong. */
  aboveWatch: number;
  watch: number;
  /** What they said. */
  said: string[];
}

export function tallyHealthy(results: readonly HealthyResult[], days: number): HealthyTally {
  const all = results.flatMap(({ stated }) => stated);
  return {
    units: results.length,
    unitMonths: (results.length * days) / 30.4,
    aboveWatch: all.filter(aboveWatch).length,
    watch: all.filter((one) => !aboveWatch(one)).length,
    said: results.flatMap(({ unit, stated }) =>
      stated.map(({ cause, weight, urgency }) => `${unit.name}: ${cause} ${weight.toFixed(2)} (${urgency})`),
    ),
  };
}

export interface Band {
  from: number;
  to: number;
  count: number;
  /** Mean of the weights that were stated, and the share of them that were right. */
  stated: number;
  right: number;
}

const bandEdges = [0, 0.3, 0.5, 0.7, 0.85, 0.95, 1.0001];

/** All stated diagnoses by their weight: how many were right where so much was said. */
export function calibrationOf(stated: readonly Stated[]): Band[] {
  return bandEdges.slice(1).map((to, i) => {
    const from = bandEdges[i]!;
    const within = stated.filter(({ weight }) => weight >= from && weight < to);
    const mean = (values: number[]) => values.reduce((sum, value) => sum + value, 0) / values.length;
    return {
      from,
      to: Math.min(1, to),
      count: within.length,
      stated: mean(within.map(({ weight }) => weight)),
      right: mean(within.map(({ right }) => (right ? 1 : 0))),
    };
  });
}

/** What was said first where it was not the fault, most frequent first. */
export function confusionsOf(
  rows: readonly FaultRow[],
): { fault: string; said: string; severities: Record<Severity, number>; count: number }[] {
  const counts = new Map<string, Record<Severity, number>>();
  for (const { fault, severity, results } of rows)
    for (const { stated } of results) {
      const first = stated[0];
      if (!first || first.right) continue;
      const key = `${fault}\t${first.cause}`;
      const own = counts.get(key) ?? { slight: 0, medium: 0, heavy: 0 };
      own[severity]++;
      counts.set(key, own);
    }
  return [...counts]
    .map(([key, own]) => {
      const [fault, said] = key.split('\t') as [string, string];
      return { fault, said, severities: own, count: own.slight + own.medium + own.heavy };
    })
    .sort((a, b) => b.count - a.count);
}
