/** By which property circuits, or backup modules, are put into cohorts. */
export type CircuitGroup = 'valve-size' | 'refrigerant' | 'firmware' | 'climate';
export type ModuleGroup = 'rating' | 'climate' | 'firmware' | 'refrigerant';

/** Age since installation, or weighted by temperature. */
export type Against = 'age' | 'weighted-age';

/** Keys of the only sites that count; null or left out: all. */
interface SeenSites {
  sites?: readonly string[] | null;
}

export interface CircuitQuery extends SeenSites {
  group: CircuitGroup;
  days: number;
}

export const circuitMeasures = [
  'superheatMean_K',
  'superheatSpread_K',
  'floodbackFraction',
  'huntingFraction',
  'valveTravel_strokes_day',
  'valveReversals_day',
] as const;
export type CircuitMeasure = (typeof circuitMeasures)[number];
export type CircuitOrder = 'circuit' | 'cohort' | 'steadyMinutes' | CircuitMeasure;

/** A page of the circuits. */
export interface CircuitPageQuery extends CircuitQuery {
  site?: string;
  words: string;
  sort: CircuitOrder;
  descending: boolean;
  /** From 1. */
  page: number;
  limit: number;
}

export interface ModuleQuery extends SeenSites {
  group: ModuleGroup;
}

export interface BackupQuery extends ModuleQuery {
  against: Against;
}
