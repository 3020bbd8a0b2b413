import type { Stop } from '../../normal/plateaus/stops.js';
import { median, scaledMad } from '../../numerics/index.js';
import { finishFinding } from '../draft.js';
import type { Finding } from '../finding.js';
import { quantity, statement } from '../statement.js';

/** Stops that are needed to know what is usual, and to say that it is so no longer. */
const leastUsual = 5;
const leastNew = 3;
/** Stops repeat themselves no better than this (judgement, no source). */
const leastScatter = 0.05;
/** From this many standard uncertainties, and this much less left, on it is said. Judgement, no source. */
const limit_z = 4;
const leastChange = 0.15;
/** The newest stops speak for now. */
const mostNew = 12;

/**
 * Pressures that meet faster after a stop than they did: the shut valve lets liquid through, or the compressor gas back. The
 * median of what is left of their difference after ten minutes is compared with that of the stops that normal was learned
 * from. Of a median the standard uncertainty is 1.25 times that of a mean. Null where it is not so, or under five usual and
 * three new stops.
 */
export function leakByFinding(
  usual: readonly Stop[],
  since: readonly Stop[],
  circuit: number,
): Finding | null {
  const newest = since.slice(-mostNew);
  if (usual.length < leastUsual || newest.length < leastNew) return null;
  const before = median(usual.map(({ left }) => left));
  const now = median(newest.map(({ left }) => left));
  const scatter = Math.max(leastScatter, scaledMad(usual.map(({ left }) => left)));
  const uncertainty = 1.25 * scatter * Math.sqrt(1 / usual.length + 1 / newest.length);
  const z = (before - now) / uncertainty;
  if (!(z >= limit_z && before - now >= leastChange)) return null;
  return finishFinding(
    {
      condition: 'pressures-meet-fast',
      headline: statement(
        'After a stop the pressures meet faster than they did: after ten minutes {now} of their difference is left, where {before} was.',
        { now: quantity('share', Math.max(0, now)), before: quantity('share', Math.max(0, before)) },
      ),
      reasons: [
        statement('Based on {newest} stops now and {usual} before, each with the valve shut.', {
          newest: quantity('count', newest.length),
          usual: quantity('count', usual.length),
        }),
      ],
      separatingCheck: statement(
        'Listen to, or measure the temperature across, the valve and the compressor’s check valve right after a stop: the one that leaks is colder or warmer at its outlet than it should be.',
      ),
      certainty: z >= 8 ? 'certain' : 'likely',
      urgency: 'this-week',
      score: 45,
      waiting: statement(
        'While it stands, refrigerant drifts into the evaporator, and the next start may carry liquid.',
      ),
      visit: [statement('Bring what is needed to check that the valve shuts, and a spare motor or cage.')],
    },
    {
      subject: { kind: 'circuit', circuit },
      hazards: ['pressure'],
      firstSeen_s: newest[0].at_s,
      lastSeen_s: newest[newest.length - 1].at_s,
    },
  );
}
