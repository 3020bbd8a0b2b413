import { defaultRatedLife, inServiceSince_s } from '@coldrounds/core';
import { daysPerYear } from '../backup-cohort.js';
import type { Member } from './population.js';
import type { QuantityName } from './question.js';

/** Figures of a valve's use against its rated life. */
export const wearQuantities = [
  'life_fraction_year',
  'travelLife_fraction_year',
  'reversalLife_fraction_year',
  'lifeLeft_years',
] as const satisfies readonly QuantityName[];
export type WearQuantity = (typeof wearQuantities)[number];

export const isWear = (name: QuantityName): name is WearQuantity =>
  (wearQuantities as readonly QuantityName[]).includes(name);

/** How much a valve moves, over a span that ends at a moment; NaN: not observed. */
export interface ValvePace {
  travel_strokes_day: number;
  reversals_day: number;
  to_s: number;
}

/**
 * Parts of the rated life that a year at this pace takes, by full strokes, by reversals and by whichever goes first; and
 * the years left of it if the valve has always moved so since commissioning. As the unit's page has it (core:
 * `valveWearOf`): of a maker who gives one of the two, the other is not guessed; of none, both are assumed. NaN: not known.
 */
export function wearFigure(name: WearQuantity, { unit, circuit }: Member, pace: ValvePace): number {
  const { travel_strokes_day: travel, reversals_day: reversals, to_s } = pace;
  if (Number.isNaN(travel) || Number.isNaN(reversals)) return NaN;
  const rated = circuit!.entry.valve.ratedLife;
  const byMaker = rated?.fullStrokes !== undefined || rated?.reversals !== undefined;
  const life = byMaker ? rated! : defaultRatedLife;
  const byTravel = life.fullStrokes === undefined ? NaN : (daysPerYear * travel) / life.fullStrokes;
  const byReversals = life.reversals === undefined ? NaN : (daysPerYear * reversals) / life.reversals;
  const first = Math.max(byTravel || 0, byReversals || 0);
  switch (name) {
    case 'travelLife_fraction_year':
      return byTravel;
    case 'reversalLife_fraction_year':
      return byReversals;
    case 'life_fraction_year':
      return first;
    case 'lifeLeft_years': {
      const service_years = (to_s - inServiceSince_s(unit)) / (daysPerYear * 86_400);
      return first > 0 && service_years >= 0 ? Math.max(0, 1 / first - service_years) : NaN;
    }
  }
}
