import { refrigerantFacts } from '../../../refrigerants/index.js';
import type { Cause } from '../../cause.js';
import type { Hazard, Urgency } from '../../finding.js';
import { leakHazards } from './circuit-departure.js';

/** From this probability on a leak is suspected. Judgement, no source. */
const suspected = 0.5;

/** A suspected leak of a refrigerant that burns or poisons has its own urgency and cautions, whatever its symptoms say. */
export function leakSuspected(
  cause: Cause,
  weight: number,
  refrigerant: string,
): { urgency: Urgency; hazards: Hazard[]; cautions: string[] } | null {
  if (cause !== 'missing-refrigerant' || weight < suspected) return null;
  const hazards = leakHazards(refrigerant);
  if (hazards.length === 0) return null;
  const { name, safetyClass } = refrigerantFacts(refrigerant);
  return {
    urgency: 'today',
    hazards,
    cautions: [
      ...(hazards.includes('flammable')
        ? [
            `${name} may have leaked, and it is flammable (class ${safetyClass}): before anyone enters, ventilate, keep away ignition sources, switch nothing on the spot, and go in with a gas detector.`,
          ]
        : []),
      ...(hazards.includes('toxic')
        ? [
            `${name} may have leaked, and it is toxic (class ${safetyClass}): nobody enters without the gas detection and breathing protection that the rules require, and never alone.`,
          ]
        : []),
      'Local codes and licensed practice for this refrigerant come before anything said here.',
    ],
  };
}
