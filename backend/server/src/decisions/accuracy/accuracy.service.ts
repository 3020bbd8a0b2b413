import { causeName } from '@coldrounds/core';
import type { DecisionRepository } from '../../storage/decisions/decision.repository.js';
import { accuracyByCause, accuracyOf, type VisitedClaim } from './accuracy.js';
import type { DecidedFinding, Decided } from '../decision.js';

/** Visits that are counted, the newest first. */
const mostVisits = 20_000;

/** How often what was said turned out right, by the visits that closed findings. */
export class AccuracyService {
  constructor(private readonly decisions: Pick<DecisionRepository, 'closings'>) {}

  /** @param sites keys of the only sites that count; null: all */
  async accuracy(sites: readonly string[] | null) {
    const closings = await this.decisions.closings(sites, mostVisits);
    const claims = closings.flatMap(({ document, finding }): VisitedClaim[] => {
      const decided = document as Decided;
      const { said, certainty } = finding as DecidedFinding;
      return decided.kind !== 'close' || said === null
        ? []
        : [{ said: said.cause, certainty, seen: decided.seen }];
    });
    return {
      all: accuracyOf(claims),
      withoutCause: closings.length - claims.length,
      causes: accuracyByCause(claims).map((row) => ({ ...row, name: causeName(row.cause) })),
    };
  }
}
