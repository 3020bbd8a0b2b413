import type { Urgency } from '@coldrounds/core';
import type { OrderedUnit, RoundState } from '../../storage/repositories/findings/attention.repository.js';
import type { RoundOrder } from '../../storage/repositories/findings/round-orders.js';

export interface RoundQuery {
  at_s: number | null;
  site?: string;
  /** Keys of the only sites that may be seen; null or left out: all. */
  sites?: readonly string[] | null;
  region?: string;
  urgency?: Urgency | 'quiet';
  words?: string;
  /** Left out: as core ranks. */
  sort?: RoundOrder;
  cursor?: string;
  limit: number;
}

/** A stretch of the round in the order asked for, with what the whole holds. */
export interface Places {
  state: Omit<RoundState, 'version' | 'changedAt' | 'judgingSince'>;
  /** Units by urgency among those that were asked for by site and words. */
  counts: number[];
  page: Pick<OrderedUnit, 'unitId' | 'since_s' | 'key'>[];
}
