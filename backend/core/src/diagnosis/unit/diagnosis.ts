import type { CircuitNormal } from '../../normal/learning/circuit-normal.js';
import type { Stop } from '../../normal/plateaus/stops.js';
import type { Advice } from '../advice/advice.js';
import type { Cause } from '../cause.js';
import type { Certainty, Finding, FindingSubject, Hazard, Urgency, WaitingCost } from '../finding.js';
import type { Statement } from '../statement.js';

/** One cause on a unit with what it explains, what else it could be, and the check that tells the two apart. */
export interface Diagnosis {
  cause: Cause;
  subject: FindingSubject;
  /** Probability of the cause, 0 to 1. */
  weight: number;
  /** What else would explain the same symptoms, likeliest first. */
  rivals: { cause: Cause; weight: number }[];
  urgency: Urgency;
  certainty: Certainty;
  headline: Statement;
  /** Tells the cause from the likeliest rival; null where there is none. */
  separatingCheck: Statement | null;
  /** What could be set or fitted otherwise, computed with its uncertainty; null where the record does not allow that. */
  advice: Advice | null;
  /** Findings that the cause explains, most telling first. */
  symptoms: Finding[];
  /** Those of the symptoms that do not point to the cause but follow from it: no problems of their own. */
  consequences: Finding[];
  /** When the first of what points to the cause was first seen, s since the epoch. */
  since_s: number;
  /** Of the symptom that costs most. */
  waiting: WaitingCost;
  hazards: Hazard[];
  /** What a person must mind besides the cautions of every visit. */
  cautions: string[];
}

/** What the circuits of a unit do while nothing is wrong, with the tolerance by which their steady running is cut and their stops meanwhile. Plain data: it can be stored. */
export interface UnitNormal {
  /** A normal is of one refrigerant and one kind of evaporator; with another, it must be learned anew. */
  refrigerant: string;
  circuits: { circuit: number; normal: CircuitNormal; tolerance?: number; stops?: Stop[] }[];
}
