import { departuresOf, type PlateauDepartures } from '../../normal/departures/departures.js';
import { distanceOverLimit } from '../../normal/departures/looks.js';
import { meanDepartures } from '../../normal/departures/mean-departures.js';
import type { CircuitNormal } from '../../normal/learning/circuit-normal.js';
import type { Channel } from '../../normal/plateaus/channels.js';
import { firstAtOrAfter, type Plateau } from '../../normal/plateaus/find-plateaus.js';
import { plateauNumber } from '../../normal/plateaus/plateau-number.js';
import type { Machine } from '../../normal/quantities/machine.js';
import type { NormalQuantity } from '../../normal/quantities/quantities.js';
import type { CircuitSeries } from '../../telemetry/circuit-series.js';
import type { Finding } from '../finding.js';
import { quantity, statement, type Statement } from '../statement.js';
import { swappedFinding } from '../swapped-finding.js';

/** A circuit with its normal and the plateaus that depart from it, none where it does not. */
export interface DepartingCircuit {
  circuit: number;
  machine: Machine;
  normal: CircuitNormal | null;
  /** Means of two minutes of the newest days. */
  series: CircuitSeries;
  /** As sent, at least over `windowsThatTell` of the unit; null: not read. */
  samples: CircuitSeries | null;
  /** All plateaus since normal was learned. */
  plateaus: readonly Plateau[];
  over: readonly PlateauDepartures[];
}

/** Sensors of a circuit whose cables end side by side with those of the next. */
const swappable: readonly { sensor: string; channel: Channel }[] = [
  { sensor: 'liquid-temperature', channel: 'liquidTemperature_K' },
  { sensor: 'suction-temperature', channel: 'suctionTemperature_K' },
  { sensor: 'discharge-temperature', channel: 'dischargeTemperature_K' },
  { sensor: 'suction-pressure', channel: 'suctionPressure_Pa' },
  { sensor: 'discharge-pressure', channel: 'dischargePressure_Pa' },
];

/** The newest plateaus of each circuit are read both ways, and at least so many. */
const newest = 24;
const least = 6;
/** As read a circuit is this far over its limit, in shares of it, before a swap is said. Judgement, no source. */
const leastOver = 1.5;

/** As wired, superheat of suction and of discharge contradict each other by this in both circuits; exchanged, by no more than that. Judgement, no source, K. */
const contradicts_K = 4;
const agrees_K = 2.5;
/**
 * Discharge superheat changes with superheat by so many times as much, once that has changed by more than the first. Judgement, no
 * source: by about 1 at the same pressures, and more as the suction pressure falls with less liquid.
 */
const follows = { from_K: 2, least: 0.6, most: 3 };

/**
 * Sensors of one kind that are swapped between two circuits which run together: read as wired, a circuit departs from its
 * normal; with the other circuit's sensor read in place of its own, and the reverse, both do what they did before, and each does so
 * more than as wired: what one reads too high the other reads too low. No fault of one circuit, and none of both, does that; one that
 * makes the discharge of one circuit hotter leaves the other as it is, and with its reading the other comes farther from its normal.
 *
 * Where controllers hold superheat by the swapped sensors, one evaporator floods and the other starves, and no exchange on
 * paper makes them normal. Then the discharge tells: it follows the true superheat, so that the change of superheat and that
 * of discharge superheat contradict each other as wired, one way in one circuit and the other way in the other, and agree
 * in both when exchanged.
 */
export function swappedByNormal(circuits: readonly DepartingCircuit[]): Finding[] {
  const findings: Finding[] = [];
  for (let a = 0; a < circuits.length; a++)
    for (let b = a + 1; b < circuits.length; b++) {
      const found = swappedPair(circuits[a], circuits[b]);
      if (found !== null) findings.push(...found);
    }
  return findings;
}

function swappedPair(first: DepartingCircuit, second: DepartingCircuit): Finding[] | null {
  const over = [...first.over, ...second.over];
  if (over.length === 0 || first.normal === null || second.normal === null) return null;
  const since_s = Math.min(...over.map(({ plateau }) => plateau.from_s));
  const [ofFirst, ofSecond] = [first, second].map((one) => newestJudged(one, since_s));
  const told = swappable.flatMap(({ sensor, channel }) => {
    const one = bothWays(first, ofFirst, second.series, channel);
    const other = bothWays(second, ofSecond, first.series, channel);
    if (one === null || other === null) return [];
    const wired = Math.max(one.wired, other.wired);
    const swapped = Math.max(one.swapped, other.swapped);
    const nearer = [one, other].every((way) => way.swapped < way.wired);
    const normalAgain = nearer && swapped <= 1;
    const dischargeTells = channel.startsWith('suction') && contradictsAsWired(one, other);
    return wired >= leastOver && (normalAgain || dischargeTells)
      ? [
          {
            sensor,
            wired,
            swapped,
            off_K: normalAgain ? null : [one.wiredOff_K, other.wiredOff_K],
            to_s: Math.max(one.to_s, other.to_s),
            plateaus: one.plateaus + other.plateaus,
          },
        ]
      : [];
  });
  if (told.length === 0) return null;
  const best = told.reduce((a, b) => (b.swapped < a.swapped ? b : a));
  const because = becauseOf(best, [first.circuit, second.circuit]);
  return [
    [first.circuit, second.circuit],
    [second.circuit, first.circuit],
  ].map(([circuit, swappedWith]) =>
    swappedFinding({
      ...{ sensor: best.sensor, circuit, swappedWith, because },
      shows: 'with the two exchanged, what both circuits show agrees',
      seen: { from_s: since_s, to_s: best.to_s },
    }),
  );
}

interface Best {
  wired: number;
  swapped: number;
  /** By how much superheat has changed more than discharge superheat; null: with the two exchanged all is as it was. */
  off_K: number[] | null;
  plateaus: number;
}

function becauseOf({ wired, swapped, off_K, plateaus }: Best, circuits: readonly number[]): Statement {
  if (off_K === null)
    return statement(
      'As wired, they depart from normal by {wired} of what normal running allows; with the two exchanged, by {swapped}. Based on {plateaus} plateaus.',
      {
        wired: quantity('share', wired),
        swapped: quantity('share', swapped),
        plateaus: quantity('count', plateaus),
      },
    );
  const [up, down] = off_K[0] > off_K[1] ? [0, 1] : [1, 0];
  return statement(
    'As wired, superheat has risen by {more} more than discharge superheat on circuit {up}, and by {less} less on circuit {down}; with the two exchanged, both circuits discharge hotter or colder with their superheat. Based on {plateaus} plateaus.',
    {
      more: quantity('temperature-difference', off_K[up]),
      less: quantity('temperature-difference', -off_K[down]),
      up: quantity('count', circuits[up]),
      down: quantity('count', circuits[down]),
      plateaus: quantity('count', plateaus),
    },
  );
}

interface BothWays {
  wired: number;
  swapped: number;
  /** Change of superheat less that of discharge superheat, K; NaN where not both are known. */
  wiredOff_K: number;
  swappedOff_K: number;
  /** With the channel exchanged, the change of discharge superheat over that of superheat; NaN where this has hardly changed. */
  swappedRatio: number;
  plateaus: number;
  to_s: number;
}

const contradictsAsWired = (one: BothWays, other: BothWays): boolean =>
  [one, other].every(
    ({ wiredOff_K, swappedOff_K, swappedRatio }) =>
      Math.abs(wiredOff_K) >= contradicts_K &&
      Math.abs(swappedOff_K) <= Math.abs(wiredOff_K) / 2 &&
      (Math.abs(swappedOff_K) <= agrees_K || (swappedRatio >= follows.least && swappedRatio <= follows.most)),
  ) && Math.sign(one.wiredOff_K) !== Math.sign(other.wiredOff_K);

/**
 * The newest plateaus of which something can be judged, in order. Far over the loads that were learned from nothing can: one such
 * plateau would leave nothing of the mean.
 */
function newestJudged({ machine, normal, plateaus }: DepartingCircuit, since_s: number): PlateauDepartures[] {
  const found: PlateauDepartures[] = [];
  for (let k = plateaus.length - 1; k >= 0 && found.length < newest; k--) {
    if (plateaus[k].from_s < since_s) continue;
    const departures = departuresOf(machine, normal!, plateaus[k]);
    if (departures.order.length > 0) found.push(departures);
  }
  return found.reverse();
}

/** How far a circuit's newest plateaus lie off its normal, in shares of the limit, as wired and with a channel of the other. */
function bothWays(
  own: DepartingCircuit,
  plateaus: readonly PlateauDepartures[],
  other: CircuitSeries,
  channel: Channel,
): BothWays | null {
  const pairs = plateaus.flatMap((asWired) => {
    const exchanged = withChannelOf(other, asWired.plateau, channel);
    return exchanged === null ? [] : [[asWired, exchanged] as const];
  });
  if (pairs.length < least) return null;
  const judged = (of: readonly PlateauDepartures[]) => {
    const mean = meanDepartures(own.normal!, of);
    if (mean === null) return null;
    const by = (quantity: NormalQuantity) => mean.difference[mean.order.indexOf(quantity)] ?? NaN;
    const [superheat_K, discharge_K] = [by('superheat_K'), by('dischargeSuperheat_K')];
    return {
      distance: distanceOverLimit(own.normal!, mean) / own.normal!.limit,
      off_K: superheat_K - discharge_K,
      ratio: Math.abs(superheat_K) >= follows.from_K ? discharge_K / superheat_K : NaN,
    };
  };
  const wired = judged(pairs.map(([asWired]) => asWired));
  const swapped = judged(pairs.map(([, exchanged]) => departuresOf(own.machine, own.normal!, exchanged)));
  if (wired === null || swapped === null) return null;
  return {
    wired: wired.distance,
    swapped: swapped.distance,
    wiredOff_K: wired.off_K,
    swappedOff_K: swapped.off_K,
    swappedRatio: swapped.ratio,
    plateaus: pairs.length,
    to_s: pairs[pairs.length - 1][0].plateau.to_s,
  };
}

/** A plateau with one channel read from another circuit over the same time; null where that was not sent. */
function withChannelOf(series: CircuitSeries, plateau: Plateau, channel: Channel): Plateau | null {
  const from = firstAtOrAfter(series.time_s, plateau.from_s);
  const to = firstAtOrAfter(series.time_s, plateau.to_s + 1e-6);
  const own = plateau.values[channel];
  const number = plateauNumber(series.time_s.subarray(from, to), series[channel].subarray(from, to));
  return own === undefined || number === null
    ? null
    : { ...plateau, values: { ...plateau.values, [channel]: number } };
}
