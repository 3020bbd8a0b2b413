import { certainties, jeffreysInterval, type Cause, type Certainty } from '@coldrounds/core';
import type { Seen } from '../decision.js';

/** One visit: what was said before it, and what it found. */
export interface VisitedClaim {
  said: Cause;
  certainty: Certainty;
  seen: Seen;
}

export interface Accuracy {
  visits: number;
  confirmed: number;
  otherCause: number;
  nothingFound: number;
  /** Of the visits, how many confirmed the cause: the fraction's 95 % interval (Jeffreys). */
  interval: { low: number; high: number };
}

export interface AccuracyRow extends Accuracy {
  cause: Cause;
  certainty: Certainty;
}

export function accuracyOf(claims: readonly VisitedClaim[]): Accuracy {
  const confirmed = claims.filter(({ said, seen }) => seen.kind === 'cause' && seen.cause === said).length;
  const nothingFound = claims.filter(({ seen }) => seen.kind === 'nothing').length;
  const visits = claims.length;
  return {
    ...{ visits, confirmed, nothingFound, otherCause: visits - confirmed - nothingFound },
    interval: jeffreysInterval(confirmed, visits),
  };
}

/** How often each cause was right, by how sure it was said to be; the most visited first. */
export function accuracyByCause(claims: readonly VisitedClaim[]): AccuracyRow[] {
  const groups = new Map<string, VisitedClaim[]>();
  for (const claim of claims) {
    const key = `${claim.said} ${claim.certainty}`;
    groups.set(key, [...(groups.get(key) ?? []), claim]);
  }
  return [...groups.values()]
    .map((group) => ({ cause: group[0].said, certainty: group[0].certainty, ...accuracyOf(group) }))
    .sort(
      (a, b) =>
        b.visits - a.visits ||
        a.cause.localeCompare(b.cause) ||
        certainties.indexOf(a.certainty) - certainties.indexOf(b.certainty),
    );
}
