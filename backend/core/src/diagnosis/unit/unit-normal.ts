import { learnCircuitNormal } from '../../normal/learning/learn-normal.js';
import type { CircuitNormal } from '../../normal/learning/circuit-normal.js';
import type { Machine } from '../../normal/quantities/machine.js';
import type { Plateau } from '../../normal/plateaus/find-plateaus.js';
import type { Finding } from '../finding.js';

/** Normal running is learned from the first two weeks, or the first 60 % of a shorter record, and from no fewer plateaus than a day's. */
const learnFor_s = 14 * 86_400;
const learnShare = 0.6;
const aDaysPlateaus = 24;

/**
 * Splits a record into what normal is learned from and what is judged against it. Nothing later than the first weeks is
 * learned, so that a slow drift stays visible; a record of under a day's plateaus is all learned from and none judged.
 */
export function splitRecord(plateaus: readonly Plateau[]): { learned: Plateau[]; judged: Plateau[] } {
  if (plateaus.length === 0) return { learned: [], judged: [] };
  const from_s = plateaus[0].from_s;
  const span_s = plateaus[plateaus.length - 1].to_s - from_s;
  const until_s = from_s + Math.min(learnFor_s, learnShare * span_s);
  const within = plateaus.filter(({ to_s }) => to_s <= until_s).length;
  const count = Math.max(within, Math.min(plateaus.length, aDaysPlateaus));
  return { learned: plateaus.slice(0, count), judged: plateaus.slice(count) };
}

/** Findings while which a circuit is not learned from: what they say is no normal running. */
const notNormal = new Set([
  'floodback-risk',
  'starved',
  'undercharge-suspected',
  'sensor-bias',
  'sensor-loose',
  'value-frozen',
  'transducers-swapped',
  'gauge-taken-for-absolute',
  'wrong-refrigerant',
]);

/** Learns the normal of a circuit from plateaus on which nothing was known to be wrong; null where too few are left. */
export function learnSound(
  machine: Machine,
  learned: readonly Plateau[],
  findings: readonly Finding[],
): CircuitNormal | null {
  const wrong = findings.filter(
    ({ condition, certainty }) => certainty !== 'possible' && notNormal.has(condition),
  );
  const sound = learned.filter(
    ({ from_s, to_s }) => !wrong.some((finding) => finding.firstSeen_s < to_s && finding.lastSeen_s > from_s),
  );
  return learnCircuitNormal(machine, sound);
}
