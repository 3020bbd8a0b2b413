import { comparePlateaus, type ComparedPlateau } from '../../../normal/departures/compare-plateaus.js';
import type { PlateauDepartures } from '../../../normal/departures/departures.js';
import type { CircuitNormal } from '../../../normal/learning/circuit-normal.js';
import { cohortNormal, type LikeCircuit } from '../../../normal/learning/cohort-normal.js';
import type { Plateau } from '../../../normal/plateaus/find-plateaus.js';
import { plateausOf, toleranceLevel, type WindowPlateaus } from '../../../normal/plateaus/window-plateaus.js';
import type { Machine } from '../../../normal/quantities/machine.js';
import { signaturesOf } from '../../causes/weighing/signatures.js';
import type { Finding } from '../../finding.js';
import { departureFinding } from '../departure/circuit-departure.js';
import type { UnsoundSpan } from './unit-normal.js';

/** What a circuit is judged by while it has no normal of its own. Plain data: it can be stored. */
export interface LikeNormal {
  tolerance: number;
  normal: CircuitNormal;
  /** The circuit departs from it now. */
  departs: boolean;
  /** When it did, more than possibly: that time is not learned from. */
  departed: UnsoundSpan[];
}

/** What a comparison with like units is made from. */
export interface LikeRecord {
  circuit: number;
  windows: readonly WindowPlateaus[];
  /** Clocks pair the circuit with the water of another time: that it departs is not claimed. */
  mispaired?: boolean;
  /** Cooling capacity of the circuit at full load, W; left out or null: not known. */
  ratedCapacity_W?: number | null;
  /** Circuits of other units in which nothing is known to be wrong; left out: what was known of them stays. */
  like?: readonly LikeCircuit[];
}

/** A circuit against like units. */
export interface LikeComparison {
  like: LikeNormal;
  compared: ComparedPlateau[];
  departure: Finding | null;
  plateaus: Plateau[];
  over: PlateauDepartures[];
}

/** Of so few plateaus all are compared anew each time, by a normal that is none of the circuit's own. */
const generation = 0;

/**
 * A circuit without a past against what like units do in the same conditions, where enough of them are known; null where not.
 * Without like units in the record, by what was known of them.
 */
export function againstLike(
  machine: Machine,
  known: LikeNormal | null,
  { circuit, windows, like: others, ratedCapacity_W, mispaired }: LikeRecord,
): LikeComparison | null {
  const tolerance = others === undefined && known !== null ? known.tolerance : toleranceLevel(windows);
  const plateaus = plateausOf(windows, tolerance);
  const normal = normalOf(machine, known, others, ratedCapacity_W ?? null, plateaus);
  if (normal === null) return null;
  const compared = comparePlateaus(machine, normal, plateaus, [], generation);
  const departed = mispaired ? null : departureFinding(machine, normal, circuit, plateaus, compared);
  const finding = departed?.finding ?? null;
  return {
    like: {
      tolerance,
      normal,
      departs: finding !== null,
      departed: withSpan(known?.departed ?? [], finding),
    },
    compared,
    departure: finding,
    plateaus,
    over: departed?.over ?? [],
  };
}

const normalOf = (
  machine: Machine,
  known: LikeNormal | null,
  others: readonly LikeCircuit[] | undefined,
  capacity_W: number | null,
  plateaus: readonly Plateau[],
): CircuitNormal | null => {
  const anew =
    others === undefined || capacity_W === null
      ? null
      : cohortNormal(machine, capacity_W, others, plateaus, signaturesOf);
  return anew ?? known?.normal ?? null;
};

/** With the time in which it departs now; a span that meets it grows. */
function withSpan(before: readonly UnsoundSpan[], finding: Finding | null): UnsoundSpan[] {
  if (finding === null || finding.certainty === 'possible') return [...before];
  const { firstSeen_s: from_s, lastSeen_s: to_s } = finding;
  const meets = (span: UnsoundSpan) => span.from_s <= to_s && span.to_s >= from_s;
  const joined = before.filter(meets);
  return [
    ...before.filter((span) => !meets(span)),
    {
      from_s: Math.min(from_s, ...joined.map((span) => span.from_s)),
      to_s: Math.max(to_s, ...joined.map((span) => span.to_s)),
    },
  ];
}

/** Raise it when a kept one changes its shape or its meaning. */
const version = 2;

export const writeLike = (like: LikeNormal): string => JSON.stringify({ version, ...like });

/** Null where another version wrote it. */
export function readLike(text: string): LikeNormal | null {
  const { version: of, ...like } = JSON.parse(text) as LikeNormal & { version: number };
  return of === version ? like : null;
}
