import type { Channel } from '../../normal/plateaus/channels.js';
import { condensingBeyond_K, type PlateauDepartures } from '../../normal/departures/departures.js';
import type { CircuitNormal } from '../../normal/learning/circuit-normal.js';
import type { Machine } from '../../normal/quantities/machine.js';
import type { Cause } from '../cause.js';
import { toExplain, type Candidate } from './weighing/candidates.js';
import { evidenceOfOtherCoolant, evidenceOfUnknownCause, evidenceOf, logSum } from './weighing/evidence.js';
import { pairsOf } from './weighing/two-at-once.js';

/** A cause with its posterior probability. */
export interface WeighedCause {
  cause: Cause;
  /** Probability that it is there, alone or together with another: where two are there at once, all add up to more than 1. */
  weight: number;
  /** The likeliest of the sensors, for `sensor-wrong`, and the probability of each. */
  channel?: Channel;
  channels?: Partial<Record<Channel, number>>;
  /**
   * Of `something-else`, the part in which nothing is wrong but the condenser is cooled warmer or colder than it was; only where nothing
   * tells how it is cooled.
   */
  ofCoolant?: number;
  /** Severity at which the cause fits best, in the unit of its pattern. */
  severity: number;
}

/**
 * Weighs which cause, or which two at once, explain the departures of some plateaus: for each the likelihood of their mean
 * at low and at high load given the pattern of the cause, averaged over the severities that it may have, times its prior
 * probability. What fits none of them well is left to `something-else`, which expects departures of any size in any
 * quantity. Likeliest first; empty where nothing could be compared.
 */
export function weighCausesOfDepartures(
  machine: Machine,
  normal: CircuitNormal,
  several: readonly PlateauDepartures[],
): WeighedCause[] {
  const explained = toExplain(machine, normal, several);
  if (explained === null) return [];
  const { mean, candidates } = explained;
  const singles = candidates.map((candidate) => ({
    candidate,
    ...evidenceOf(candidate, mean.difference, mean.covariance),
  }));
  const pairs = candidates.length < 2 ? [] : pairsOf(mean, candidates);
  const unknown = evidenceOfUnknownCause(mean);
  const beyond_K = several.flatMap(({ at, point }) => condensingBeyond_K(machine, normal, at, point) ?? []);
  const warmer =
    beyond_K.length > 0
      ? [
          evidenceOfOtherCoolant(
            mean,
            beyond_K.reduce((sum, one) => sum + one / beyond_K.length, 0),
          ),
        ]
      : [];
  const total = logSum([...singles, ...pairs, ...warmer, unknown].map(({ logEvidence }) => logEvidence));
  const probability = ({ logEvidence }: { logEvidence: number }) => Math.exp(logEvidence - total);
  const gathered = new Map<Cause, Gathered>();
  for (const single of singles) gather(gathered, single.candidate, probability(single), single.severity);
  for (const pair of pairs) {
    gather(gathered, pair.first, probability(pair), pair.severities[0]);
    gather(gathered, pair.second, probability(pair), pair.severities[1]);
  }
  const ofCoolant = warmer.reduce((sum, one) => sum + probability(one), 0);
  const known = [...gathered.values()].map(({ highest: _, ...cause }) => cause);
  return [
    ...known,
    {
      cause: 'something-else' as const,
      weight: probability(unknown) + ofCoolant,
      severity: unknown.severity,
      ...(warmer.length === 0 ? {} : { ofCoolant }),
    },
  ].sort((a, b) => b.weight - a.weight);
}

type Gathered = WeighedCause & { highest: number };

/** Adds a probability to its cause; severity and sensor are those of its likeliest pattern. */
function gather(
  all: Map<Cause, Gathered>,
  { pattern: { cause, channel } }: Candidate,
  probability: number,
  severity: number,
): void {
  const before = all.get(cause);
  const weight = probability + (before?.weight ?? 0);
  const likelier = before === undefined || before.highest < probability;
  const channels = before?.channels ?? {};
  if (channel !== undefined) channels[channel] = (channels[channel] ?? 0) + probability;
  all.set(cause, {
    cause,
    weight,
    severity: likelier ? severity : before.severity,
    highest: likelier ? probability : before.highest,
    ...(channel === undefined ? {} : { channel: likelier ? channel : before.channel!, channels }),
  });
}
