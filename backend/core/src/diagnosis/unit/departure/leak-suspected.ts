import { refrigerantFacts } from '../../../refrigerants/index.js';
import type { Cause } from '../../cause.js';
import type { Hazard, Urgency, WaitingCost } from '../../finding.js';
import { statement } from '../../statement.js';
import { leakHazards } from './circuit-departure.js';

/** From this probability on a leak is suspected. Judgement, no source. */
const suspected = 0.5;

/** What waiting costs, beside what the symptoms say: as a departure that is for today. Judgement, no source. */
const leakScore = 60;

const danger = (hazards: readonly Hazard[]): string =>
  !hazards.includes('toxic')
    ? 'While refrigerant may be leaking, a mixture that burns can form around the unit.'
    : !hazards.includes('flammable')
      ? 'While refrigerant may be leaking, people near the unit can be poisoned.'
      : 'While refrigerant may be leaking, people near the unit can be poisoned, and a mixture that burns can form.';

/** A suspected leak of a refrigerant that burns or poisons has its own urgency and cautions, whatever its symptoms say. */
export function leakSuspected(
  cause: Cause,
  weight: number,
  refrigerant: string,
): { urgency: Urgency; waiting: WaitingCost; hazards: Hazard[]; cautions: string[] } | null {
  if (cause !== 'missing-refrigerant' || weight < suspected) return null;
  const hazards = leakHazards(refrigerant);
  if (hazards.length === 0) return null;
  const { name, safetyClass } = refrigerantFacts(refrigerant);
  return {
    urgency: 'today',
    waiting: { score: leakScore, sentence: statement(danger(hazards)) },
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
