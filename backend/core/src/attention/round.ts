import type { Finding, Urgency } from '../diagnosis/finding.js';

/** One unit as the round takes it: its open findings, and whether a person has set it aside for a time. */
export interface RoundUnit {
  /** Unique over the portfolio, e.g. `site/unit`; the last tie-break. */
  key: string;
  findings: Finding[];
  /** Conditions set aside; see `shelving.ts`. */
  shelved?: Shelving[];
}

/** A finding set aside by a person, with a reason, until a moment at which it returns by itself. */
export interface Shelving {
  subjectKey: string;
  condition: string;
  until_s: number;
  by: string;
  reason: string;
}

export interface RoundRow {
  rank: number;
  key: string;
  urgency: Urgency;
  /** Highest waiting score among the findings of the row's urgency. */
  waiting: number;
  /** Open findings in order: urgency, waiting cost, certainty, condition. */
  findings: Finding[];
  shelvedCount: number;
}

export interface Round {
  asOf_s: number;
  /** Units that ask something of someone. */
  rows: RoundRow[];
  /** Units with nothing but `watch` findings: information, no call for anyone. */
  watching: RoundRow[];
  quietUnits: number;
  shelvedFindings: number;
}
