import type { Channel } from '../plateaus/channels.js';
import type { PointReading } from '../quantities/operating-point.js';
import type { Signatures } from '../departures/signatures.js';
import type { NormalQuantity } from '../quantities/quantities.js';
import type { LearnedRelation } from './learned-relation.js';

/** What a circuit does in each operating condition while nothing is wrong. Plain data: it can be stored. */
export interface CircuitNormal {
  refrigerant: string;
  from_s: number;
  to_s: number;
  plateaus: number;
  /** It is what so many like units do, not what the circuit itself did before (`cohort-normal.ts`); left out: its own past. */
  likeUnits?: number;
  point: PointReading;
  relations: Partial<Record<NormalQuantity, LearnedRelation>>;
  /** What each quantity is divided by before it is compared. */
  reference: Partial<Record<NormalQuantity, number>>;
  /** Quantities in the order of `correlation`, the shrunk correlation of their left-out residuals, row by row. */
  order: NormalQuantity[];
  correlation: number[];
  /** By quantity in that order, how far a plateau's residual goes with the next one's, 0 to 0.8. */
  persistence: number[];
  /** What the usual faults are looked for by; null where none were given. */
  signatures: Signatures | null;
  /** What the largest of the looks at a plateau passes on one normal plateau in a hundred (`false-alarm-limit.ts`). */
  limit: number;
  /**
   * The condensing temperature over the rest of the operating point, K, where nothing tells what the condenser is cooled by
   * (`unread-coolant.ts`); null or left out where something does.
   */
  condensing?: LearnedRelation | null;
  /** Channels that were there; a plateau without them is judged on the rest. */
  channels: Channel[];
  /**
   * Condensing temperature under which a condenser's flow may be throttled, K: the highest at which it was, the lowest that
   * was learned from else; null or left out where none was sent.
   */
  throttledUnder_K?: number | null;
  /**
   * By how many per cent the fans turn faster for each kelvin of condensing while they are held back (`fan-law.ts`); null or left
   * out where they do not follow it, or never were.
   */
  fansPerKelvin?: number | null;
}
