import type { CircuitNormal } from '../../../normal/learning/circuit-normal.js';
import { learnCircuitNormal } from '../../../normal/learning/learn-normal.js';
import { tolerances, type Plateau } from '../../../normal/plateaus/find-plateaus.js';
import { stopsOfWindows, type Stop } from '../../../normal/plateaus/stops.js';
import { plateausOf, toleranceLevel, type WindowPlateaus } from '../../../normal/plateaus/window-plateaus.js';
import type { Machine } from '../../../normal/quantities/machine.js';
import { window_s } from '../../../steadiness/windows/window-judgement.js';
import { signaturesOf } from '../../causes/weighing/signatures.js';
import type { Finding } from '../../finding.js';

/** Normal running is learned from the first two weeks, or the whole days in the first 60 % of a shorter record, and from no fewer plateaus than a day's. */
const longest_days = 14;
const learnFraction = 0.6;
export const plateausOfADay = 24;
const day_s = 86_400;

/** Days from the start of a record of this length that are learned from. */
const learningDays = (span_s: number): number =>
  Math.min(longest_days, Math.floor((learnFraction * span_s) / day_s));

function firstUntil(plateaus: readonly Plateau[], until_s: number): Plateau[] {
  const within = plateaus.filter(({ to_s }) => to_s <= until_s).length;
  return plateaus.slice(0, Math.max(within, plateausOfADay));
}

/** From when to when something was known to be wrong. */
export interface UnsoundSpan {
  from_s: number;
  to_s: number;
}

/** Findings while which a circuit is not learned from: what they say is no normal running. */
export const conditionsNotLearnedFrom: ReadonlySet<string> = new Set([
  'floodback-risk',
  'starved',
  'undercharge-suspected',
  'sensor-bias',
  'sensor-loose',
  'sensor-misplaced',
  'readings-impossible',
  'value-frozen',
  'transducers-swapped',
  'gauge-taken-for-absolute',
  'wrong-refrigerant',
  'clocks-drift-apart',
]);

type Wrong = Pick<Finding, 'condition' | 'certainty' | 'firstSeen_s' | 'lastSeen_s'>;

/** The spans in which findings say that something was wrong, more than possibly. */
export const unsoundSpans = (findings: readonly Wrong[]): UnsoundSpan[] =>
  findings
    .filter(({ condition, certainty }) => certainty !== 'possible' && conditionsNotLearnedFrom.has(condition))
    .map(({ firstSeen_s, lastSeen_s }) => ({ from_s: firstSeen_s, to_s: lastSeen_s }));

const soundOf = (plateaus: readonly Plateau[], unsound: readonly UnsoundSpan[]): Plateau[] =>
  plateaus.filter(
    (plateau) => !unsound.some(({ from_s, to_s }) => from_s < plateau.to_s && to_s > plateau.from_s),
  );

/** What normal is to be learned from. */
export interface Learning {
  /** By which the steady running is cut, as its place in `tolerances`. */
  tolerance: number;
  plateaus: Plateau[];
  /** From the first sound plateau to the newest, s. */
  span_s: number;
  /** No later time will be learned from. */
  complete: boolean;
  /** All stops of the windows. */
  stops: Stop[];
}

/**
 * What normal is to be learned from, of the windows since learning began: of what is sound, the first two weeks, or the
 * first whole days within 60 % of a shorter record. It changes at most once a day, and for the last time after 23 days.
 */
export function learningOf(windows: readonly WindowPlateaus[], unsound: readonly UnsoundSpan[]): Learning {
  const stops = stopsOfWindows(windows);
  const any = soundOf(plateausOf(windows, tolerances.length - 1), unsound);
  if (any.length === 0) return { tolerance: 0, plateaus: [], span_s: 0, complete: false, stops };
  const from_s = any[0].from_s;
  const span_s = any[any.length - 1].to_s - from_s;
  const days = learningDays(span_s);
  const until_s = from_s + Math.max(1, days) * day_s;
  const tolerance = toleranceLevel(
    windows.filter(({ start_s }) => start_s > from_s - window_s && start_s < until_s),
  );
  const plateaus = soundOf(plateausOf(windows, tolerance), unsound);
  return {
    tolerance,
    plateaus: firstUntil(plateaus, from_s + days * day_s),
    span_s,
    complete: days === longest_days,
    stops,
  };
}

/** Normal of a circuit, with the tolerance by which its steady running is cut and its stops meanwhile. Plain data: it can be stored. */
export interface LearnedCircuit {
  tolerance: number;
  normal: CircuitNormal;
  /** The newest stops until normal was learned to its end. */
  stops: Stop[];
}

/** Stops that are kept to tell what is usual. */
const mostUsual = 200;

export const usualStops = (stops: readonly Stop[], { to_s }: CircuitNormal): Stop[] =>
  stops.filter(({ at_s }) => at_s <= to_s).slice(-mostUsual);

/** Learns the normal of a circuit from plateaus on which nothing was known to be wrong; null where too few are left. */
export function learnFrom(
  machine: Machine,
  { tolerance, plateaus, stops }: Pick<Learning, 'tolerance' | 'plateaus' | 'stops'>,
): LearnedCircuit | null {
  const normal = learnCircuitNormal(machine, plateaus, signaturesOf);
  return normal === null ? null : { tolerance, normal, stops: usualStops(stops, normal) };
}

/** The plateaus to be judged against a normal: all after those it was learned from. */
export const afterLearning = (
  windows: readonly WindowPlateaus[],
  { tolerance, normal }: LearnedCircuit,
): Plateau[] => plateausOf(windows, tolerance).filter(({ from_s }) => from_s >= normal.to_s);
