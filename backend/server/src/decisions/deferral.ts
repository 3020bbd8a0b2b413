import type { Urgency } from '@coldrounds/core';
import type { DecisionRepository } from '../storage/decisions/decision.repository.js';
import type { Queryable } from '../storage/index.js';
import { isDeferred, isMoreUrgent } from './standing.js';
import { standingNow } from './standing-view.js';

/** Findings that can wait by somebody's decision, with their urgency when that was decided. */
export type Deferred = ReadonlyMap<string, Urgency>;

/** Which findings of units can wait now. */
export class DeferralReader {
  constructor(
    private readonly decisions: Pick<DecisionRepository, 'statesOfUnits'>,
    private readonly now_s: () => number = () => Date.now() / 1000,
  ) {}

  async of(unitIds: readonly number[], by?: Queryable): Promise<Deferred> {
    const states = await this.decisions.statesOfUnits(unitIds, by);
    return new Map(
      states
        .filter((state) => isDeferred(standingNow(state, this.now_s())))
        .map((state) => [state.findingId, state.urgency as Urgency]),
    );
  }
}

/** Findings as the round ranks them: what can wait is only watched. */
export const findingsAsPlanned = <Open extends { id: string; urgency: Urgency }>(
  findings: readonly Open[],
  deferred: Deferred,
): Open[] =>
  findings.map((finding) => (deferred.has(finding.id) ? { ...finding, urgency: 'watch' } : finding));

/** The same of findings as they are stored. */
export const documentsAsPlanned = <Open extends { id: string; document: { urgency: Urgency } }>(
  findings: readonly Open[],
  deferred: Deferred,
): Open[] =>
  findings.map((finding) =>
    deferred.has(finding.id) ? { ...finding, document: { ...finding.document, urgency: 'watch' } } : finding,
  );

/** The same of diagnoses: one can wait when that was decided on one of its symptoms, and it is no more urgent than then. */
export const diagnosesAsPlanned = <Open extends { symptoms: readonly string[]; urgency: Urgency }>(
  diagnoses: readonly Open[],
  deferred: Deferred,
): Open[] =>
  diagnoses.map((diagnosis) =>
    diagnosis.symptoms.some((id) => {
      const then = deferred.get(id);
      return then !== undefined && !isMoreUrgent(diagnosis.urgency, then);
    })
      ? { ...diagnosis, urgency: 'watch' }
      : diagnosis,
  );
