import type { Statement } from '../diagnosis/statement.js';

/** Something typed that cannot be, or hardly can be, right. */
export interface Doubt {
  /** Path in the draft, e.g. `circuits.0.kv_m3_h`. */
  field: string;
  /** It cannot be taken; otherwise it can, but should be looked at again. */
  refused: boolean;
  sentence: Statement;
}
