import type { Statement } from '../statement.js';

/** A figure of an advice, with the range in which it lies in about 19 of 20 cases. */
export interface AdvisedFigure {
  value: number;
  low: number;
  high: number;
  /** `share` is 0 to 1 of today's, `times` a multiple of it; Kv is in m3/h. */
  unit: 'share' | 'times' | 'm3/h' | 'K' | 's';
}

/**
 * What could be set or fitted otherwise, computed for whoever may do so: a gain, a valve, a setpoint, a charge. Coldrounds
 * itself sets nothing. Where the record does not allow a figure with its uncertainty there is no advice.
 */
export interface Advice {
  change: 'loop-gain' | 'valve-size' | 'setpoint' | 'charge';
  /** The advice, its numbers apart. */
  sentence: Statement;
  /** How it was worked out and on what it is based, the rule by name. */
  basis: Statement;
  figures: Record<string, AdvisedFigure>;
}
