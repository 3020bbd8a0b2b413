/** What became of a finding after the visit that closed it. */
export type Outcome =
  | { kind: 'watching' }
  | { kind: 'gone'; since_s: number }
  | { kind: 'unchanged'; since_s: number }
  | { kind: 'came-back'; after_s: number };

export interface VisitedFinding {
  closed_s: number;
  /** When the finding ended; null: it is open. */
  ended_s: number | null;
  /** Until when what it says was seen in telemetry. */
  lastSeen_s: number;
  /** When the same was found again on the same thing, after the closing; null: it was not. */
  foundAgain_s: number | null;
}

/**
 * How long telemetry after a visit is awaited: a condition is judged over days, and what was seen before the visit still
 * counts for a while. Judgement, no source.
 */
export const watched_s = 2 * 86_400;

/** Gone, unchanged, or back after a time; until telemetry can tell, it is watched. */
export function afterVisit({ closed_s, ended_s, lastSeen_s, foundAgain_s }: VisitedFinding): Outcome {
  if (foundAgain_s !== null) return { kind: 'came-back', after_s: foundAgain_s - closed_s };
  if (ended_s !== null) return { kind: 'gone', since_s: Math.max(ended_s, closed_s) };
  if (lastSeen_s >= closed_s + watched_s) return { kind: 'unchanged', since_s: closed_s };
  return { kind: 'watching' };
}
