import type { CircuitEffects } from '../../faults/effects.js';
import type { CircuitPhysics } from './design.js';
import { at } from '../refrigerant-tables.js';

/**
 * Pressure of the high side, Pa: the refrigerant's own at its condensing temperature and, by Dalton's law, that of the gas,
 * whose amount is given as its share of the vapour at the design's condensing pressure and whose volume does not change.
 */
export function highSide_Pa(
  { tables, design }: CircuitPhysics,
  condensing_K: number,
  { gas }: CircuitEffects,
): number {
  const own_Pa = at(tables.dewPressure_Pa, condensing_K);
  if (gas <= 0) return own_Pa;
  const atDesign_Pa = (gas / (1 - gas)) * at(tables.dewPressure_Pa, design.condensing_K);
  return own_Pa + (atDesign_Pa * condensing_K) / design.condensing_K;
}
