import type { CircuitEffects } from '../../faults/effects.js';
import type { CircuitPhysics } from './design.js';

/** Share of its coolant below which fans or water valve never throttle. */
export const leastCoolant = 0.12;

/** Exponent of the coolant's film over its flow: turbulent water in tubes (Dittus & Boelter), air across fins. */
const filmExponent = { water: 0.8, air: 0.5 };

/**
 * Conductance between refrigerant and coolant over the design's, condensing surface and liquid's alike: by the coolant's film
 * at a share of its full flow, and by fouling.
 */
export function coolantConductance(
  { design }: CircuitPhysics,
  effects: CircuitEffects,
  coolant: number,
): number {
  const film = design.coolantResistance * Math.pow(coolant, -filmExponent[design.condenser]);
  return effects.condenserUa / (film + 1 - design.coolantResistance);
}
