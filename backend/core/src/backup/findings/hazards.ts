import type { Hazard } from '../../diagnosis/index.js';
import { refrigerantFacts } from '../../refrigerants/index.js';

/** Hazards of work on any module. */
export const electrical: Hazard[] = ['charged-capacitor', 'live-parts'];

/** Hazards of work on valve and module, by the refrigerants inside. */
export function hazardsOf(refrigerants: readonly string[]): Hazard[] {
  const hazards: Hazard[] = [...electrical, 'pressure'];
  for (const refrigerant of refrigerants) {
    const facts = refrigerantFacts(refrigerant);
    if (facts.flammable && !hazards.includes('flammable')) hazards.push('flammable');
    if (facts.toxic && !hazards.includes('toxic')) hazards.push('toxic');
  }
  return hazards;
}
