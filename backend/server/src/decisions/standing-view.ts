import type { Urgency } from '@coldrounds/core';
import type { StateRow } from '../storage/decisions/decision.repository.js';
import { afterVisit, type Outcome } from './after-visit.js';
import type { DecidedFinding, Decided } from './decision.js';
import { isDeferred, standingOf, type PlanState, type Standing } from './standing.js';

const seconds = (at: Date): number => at.getTime() / 1000;

/** What became of a finding that a visit closed; null: none closed it. */
export function outcomeOf(state: StateRow): Outcome | null {
  if (state.kind !== 'close') return null;
  const closed_s = seconds(state.decided);
  return afterVisit({
    closed_s,
    // A finding whose retention is over ended long ago.
    ended_s: state.now === null ? closed_s : state.now.endedAt === null ? null : seconds(state.now.endedAt),
    lastSeen_s: state.now?.lastSeen_s ?? 0,
    foundAgain_s: state.foundAgainAt === null ? null : seconds(state.foundAgainAt),
  });
}

/** Where a finding stands now. */
export function standingNow(state: StateRow, now_s: number): Standing & { outcome: Outcome | null } {
  const plan: PlanState = {
    version: state.version,
    kind: state.kind as PlanState['kind'],
    urgency: state.urgency as Urgency,
    due_s: state.due === null ? null : seconds(state.due),
    decided_s: seconds(state.decided),
  };
  const outcome = outcomeOf(state);
  const urgency = (state.now?.urgency ?? state.urgency) as Urgency;
  return { ...standingOf(plan, urgency, now_s, outcome), outcome };
}

/** The same as it is published. */
export function standingView(state: StateRow, now_s: number) {
  const standing = standingNow(state, now_s);
  const decided = state.document as Decided;
  const { headline, subject } = state.finding as DecidedFinding;
  return {
    finding: state.findingId,
    version: state.version,
    ...standing,
    deferred: isDeferred(standing),
    by: state.by,
    at: state.decided.toISOString(),
    assignee: state.assignee,
    due:
      decided.kind === 'hand-over'
        ? decided.due
        : decided.kind === 'put-off'
          ? decided.until
          : decided.kind === 'accept'
            ? decided.review
            : null,
    reason: 'reason' in decided ? decided.reason : null,
    seen: decided.kind === 'close' ? decided.seen : null,
    headline,
    subject,
    endedAt: state.now?.endedAt?.toISOString() ?? null,
  };
}
