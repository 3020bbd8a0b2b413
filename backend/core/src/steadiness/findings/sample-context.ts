import { circuit } from '../sample-circuit.js';
import type { WindowJudgement } from '../windows/window-judgement.js';
import type { FindingContext } from './finding-parts.js';

/** A week of windows of the plain circuit, of which nothing else is known but what is given. */
export const context = (week: WindowJudgement[], rest: Partial<FindingContext> = {}): FindingContext => ({
  circuit,
  refrigerant: 'R134a',
  evaporator: 'dry-expansion',
  dischargeSuperheatKnown: true,
  refrigerantHazards: [],
  week,
  earlier: [],
  neighbours: [],
  day: [],
  level: null,
  hunting: null,
  headroom: null,
  wear: null,
  ...rest,
});
