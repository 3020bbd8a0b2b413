import {
  comparePlateaus,
  plateausChecksum,
  type ComparedPlateau,
} from '../../../normal/departures/compare-plateaus.js';
import { circuitEnergy, type CircuitEnergy } from '../../../cost/circuit-energy.js';
import { lastWeekOf, runningHours } from '../../../cost/running-hours.js';
import type { PlateauDepartures } from '../../../normal/departures/departures.js';
import type { Plateau } from '../../../normal/plateaus/find-plateaus.js';
import { plateausOf, toleranceLevel, type WindowPlateaus } from '../../../normal/plateaus/window-plateaus.js';
import type { Machine } from '../../../normal/quantities/machine.js';
import type { Finding } from '../../finding.js';
import { quantity, statement, type Statement } from '../../statement.js';
import { stopsOfWindows } from '../../../normal/plateaus/stops.js';
import { likeSize } from '../../../normal/learning/cohort-normal.js';
import { leakByFinding } from '../../standing/leak-by.js';
import { departureFinding, type CircuitDeparture } from '../departure/circuit-departure.js';
import { againstLike, type LikeNormal, type LikeRecord } from './like-normal.js';
import {
  plateausOfADay,
  afterLearning,
  learnFrom,
  learningOf,
  usualStops,
  type LearnedCircuit,
  type UnsoundSpan,
} from './unit-normal.js';

/** The normal of a circuit as it is kept from one assessment to the next. */
export interface KeptNormal {
  /** Counts how often it was learned. */
  generation: number;
  /** Learned for good: later time is only judged against it. */
  complete: boolean;
  /** Plateaus that it is, or is going to be, learned from. */
  seen: number;
  /** Checksum of these plateaus; null: not learned. */
  basis: number | null;
  learned: LearnedCircuit | null;
  /** What like units do, by which the circuit is judged until its own normal is learned; null: too few are known. */
  like: LikeNormal | null;
}

export const nothingLearned: KeptNormal = {
  generation: 0,
  complete: false,
  seen: 0,
  basis: null,
  learned: null,
  like: null,
};

/** What an assessment compares. */
export interface ComparedRecord extends LikeRecord {
  /** Of the last weeks; all since learning began until it is complete. */
  windows: readonly WindowPlateaus[];
  /** Start of the oldest of them. */
  from_s: number;
  unsound: readonly UnsoundSpan[];
  /** As compared by the assessment before. */
  before: readonly ComparedPlateau[];
  /** What else was found on the circuit just now. */
  found?: readonly Finding[];
}

export interface Comparison {
  normal: KeptNormal;
  compared: ComparedPlateau[];
  /** The circuit departs from its normal, or before it has one from what like units do; null where it does not. */
  departure: Finding | null;
  /** Its pressures meet faster after a stop than they did; null where they do not. */
  leak: Finding | null;
  /** The plateaus that were compared, and how those of them that still depart do. */
  plateaus: Plateau[];
  over: PlateauDepartures[];
  /** What the circuit gives away in energy; null: nothing was found that does. */
  energy: CircuitEnergy | null;
}

const day_s = 86_400;

/**
 * Brings a circuit's normal and its comparison with it up to date. What was learned and compared before is taken over
 * where nothing under it has changed, so that a new window costs the comparison of its own plateaus; the result is the
 * same as that of learning and comparing all of them anew.
 */
export function bringUpToDate(machine: Machine, kept: KeptNormal, record: ComparedRecord): Comparison {
  // Like units come first: what departs from them is not learned as normal.
  const like = kept.learned === null ? againstLike(machine, kept.like, record) : null;
  const known = like === null || like.like === kept.like ? kept : { ...kept, like: like.like };
  const departed = known.like?.departed ?? [];
  const normal = learnedUpToDate(machine, known, { ...record, unsound: [...record.unsound, ...departed] });
  if (normal.learned === null) {
    const { compared = [], departure = null, plateaus = [], over = [] } = like ?? {};
    const energy = energyOf(machine, null, null, record);
    return { normal, compared, departure, leak: null, plateaus, over, energy };
  }
  const plateaus = afterLearning(record.windows, normal.learned);
  const { normal: learned } = normal.learned;
  const compared = comparePlateaus(
    machine,
    learned,
    plateaus,
    record.before,
    normal.generation,
    record.from_s > learned.to_s,
  );
  const departure = record.mispaired
    ? null
    : departureFinding(machine, learned, record.circuit, plateaus, compared);
  return {
    normal,
    compared,
    departure: departure?.finding ?? null,
    leak: leakSince(normal.learned, record.windows, record.circuit),
    plateaus,
    over: departure?.over ?? [],
    energy: energyOf(machine, normal.learned, departure, record),
  };
}

function energyOf(
  machine: Machine,
  learned: LearnedCircuit | null,
  departed: CircuitDeparture | null,
  { windows, found, ratedCapacity_W }: ComparedRecord,
): CircuitEnergy | null {
  const headroom = found?.find(({ condition }) => condition === 'headroom') ?? null;
  if (departed === null && headroom === null) return null;
  const week = lastWeekOf(windows);
  return circuitEnergy({
    machine,
    plateaus: plateausOf(week, learned?.tolerance ?? toleranceLevel(week)),
    running_h_week: runningHours(week),
    departure: departed === null || learned === null ? null : { normal: learned.normal, over: departed.over },
    headroom,
    ratedCapacity_W: ratedCapacity_W ?? null,
  });
}

/** Stops while normal was learned against those since: a record without the former tells nothing. */
export const leakSince = (
  { normal, stops }: LearnedCircuit,
  windows: readonly WindowPlateaus[],
  circuit: number,
): Finding | null =>
  leakByFinding(
    stops,
    stopsOfWindows(windows).filter(({ at_s }) => at_s > normal.to_s),
    circuit,
  );

function learnedUpToDate(
  machine: Machine,
  kept: KeptNormal,
  { windows, unsound, from_s }: ComparedRecord,
): KeptNormal {
  // What it was learned from lies before what is looked at: nothing later is learned.
  if (kept.learned !== null && kept.learned.normal.from_s < from_s) return kept;
  const learning = learningOf(windows, unsound);
  const seen = learning.plateaus.length;
  if (seen < plateausOfADay || learning.span_s < day_s)
    return { ...kept, complete: false, seen, basis: null, learned: null };
  const basis = plateausChecksum(learning.plateaus);
  if (basis === kept.basis && kept.learned !== null) {
    const stops = usualStops(learning.stops, kept.learned.normal);
    return { ...kept, complete: learning.complete, seen, learned: { ...kept.learned, stops } };
  }
  const learned = learnFrom(machine, learning);
  const { complete } = learning;
  return { ...kept, generation: kept.generation + 1, complete, seen, basis, learned };
}

/** Raise it when what is learned changes its shape or its meaning: what an earlier version learned is learned anew. */
const version = 6;

/** Numbers are kept to the last digit, so that a stored normal judges as the one that was learned. */
export const writeLearned = (learned: LearnedCircuit): string => JSON.stringify({ version, ...learned });

/** Null where another version learned it. */
export function readLearned(text: string): LearnedCircuit | null {
  const { version: of, ...learned } = JSON.parse(text) as LearnedCircuit & { version: number };
  // Those that were learned before stops were looked at have none.
  return of === version ? { ...learned, stops: learned.stops ?? [] } : null;
}

/** A circuit's normal as it is said: whether it is learned, and by how many like units it is judged until then. */
export interface SaidNormal extends Pick<KeptNormal, 'complete' | 'seen'> {
  learned: boolean;
  /** Null: with none. */
  like: { units: number; departs: boolean } | null;
}

/** What a person is told of a circuit's normal: what it is compared with, or what to wait for. */
export function normalNote(kept: SaidNormal, circuit: number): Statement {
  const of = { circuit: quantity('count', circuit), seen: quantity('count', kept.seen) };
  if (kept.learned)
    return statement(
      kept.complete
        ? 'Circuit {circuit} is compared with what it did before under the same conditions, learned from {seen} plateaus of steady running.'
        : 'Circuit {circuit} is compared with what it did before under the same conditions, learned from {seen} plateaus of steady running so far; more are taken in until two weeks are learned.',
      of,
    );
  if (kept.like !== null)
    return statement(
      `Circuit {circuit} is compared with {units} like units (same refrigerant, kind of condenser and of evaporator, at most {size} times larger or smaller)${
        kept.like.departs
          ? '. It departs from them, and is not learned from while it does'
          : ', until its own normal is learned'
      }: {seen} of at least {needed} plateaus of steady running over a day on which nothing is known to be wrong. What differs a little between like units cannot be seen by this.`,
      {
        ...of,
        units: quantity('count', kept.like.units),
        size: quantity('ratio', likeSize),
        needed: quantity('count', plateausOfADay),
      },
    );
  return statement(
    'Circuit {circuit} is not compared with its own past yet: there are {seen} of at least {needed} plateaus of steady running over a day on which nothing is known to be wrong. Wait for more steady running; until then slow and slight faults of the refrigerant circuit cannot be seen.',
    { ...of, needed: quantity('count', plateausOfADay) },
  );
}
