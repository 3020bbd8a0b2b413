import { urgencies, type Urgency } from '@coldrounds/core';
import type { Outcome } from './after-visit.js';
import type { DecisionKind } from './decision.js';

/** The newest decision on a finding that is not a note. */
export interface PlanState {
  version: number;
  kind: Exclude<DecisionKind, 'note'>;
  /** Of the finding, when it was decided. */
  urgency: Urgency;
  due_s: number | null;
  decided_s: number;
}

export type StandingKind = 'open' | 'handed-over' | 'put-off' | 'accepted' | 'closed';

export interface Standing {
  kind: StandingKind;
  /** It was put off, accepted or closed and is to be looked at again, because of this. */
  back: 'date' | 'urgency' | 'unchanged' | null;
  /** Handed over, and its day has passed. */
  overdue: boolean;
}

const kinds: Record<PlanState['kind'], StandingKind> = {
  'hand-over': 'handed-over',
  'put-off': 'put-off',
  accept: 'accepted',
  close: 'closed',
};

export const isMoreUrgent = (now: Urgency, then: Urgency): boolean =>
  urgencies.indexOf(now) < urgencies.indexOf(then);

/**
 * Where a finding stands by what was decided: what was put off or accepted comes back by itself when its day has come,
 * and at once when it has become more urgent than it was; what a visit closed comes back when it is still there.
 */
export function standingOf(
  state: PlanState | null,
  urgency: Urgency,
  now_s: number,
  outcome: Outcome | null = null,
): Standing {
  if (state === null) return { kind: 'open', back: null, overdue: false };
  const kind = kinds[state.kind];
  const isPast = state.due_s !== null && now_s >= state.due_s;
  if (kind === 'handed-over') return { kind, back: null, overdue: isPast };
  if (isMoreUrgent(urgency, state.urgency)) return { kind, back: 'urgency', overdue: false };
  if (kind === 'closed')
    return { kind, back: outcome?.kind === 'unchanged' ? 'unchanged' : null, overdue: false };
  return { kind, back: isPast ? 'date' : null, overdue: false };
}

/** Whether somebody has decided that it can wait for now. */
export const isDeferred = ({ kind, back }: Standing): boolean =>
  back === null && (kind === 'put-off' || kind === 'accepted' || kind === 'closed');
