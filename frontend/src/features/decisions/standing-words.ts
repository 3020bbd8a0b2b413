import type { DecisionKind, Standing } from '../../api/decisions/decisions.js';

export const kindWords: Record<DecisionKind, string> = {
  'hand-over': 'Hand over',
  'put-off': 'Put off',
  accept: 'Accept as known',
  close: 'Close after a visit',
  note: 'Note',
};

/** A calendar day as `3 Dec 2026`, whatever the reader's zone. */
export const dayWords = (day: string): string =>
  new Date(`${day}T12:00:00Z`).toLocaleDateString('en-GB', {
    day: 'numeric',
    month: 'short',
    year: 'numeric',
    timeZone: 'UTC',
  });

const days = (seconds: number): string => {
  const whole = Math.max(1, Math.round(seconds / 86_400));
  return whole === 1 ? '1 day' : `${whole} days`;
};

function outcomeWords(outcome: Standing['outcome']): string {
  if (outcome === null) return '';
  if (outcome.kind === 'watching') return 'It is too early to tell whether the visit put it right.';
  if (outcome.kind === 'gone') return 'It is gone since.';
  if (outcome.kind === 'unchanged') return 'It is unchanged since the visit.';
  return `It came back after ${days(outcome.after_s)}.`;
}

/** What somebody wrote as a sentence: with a full stop at its end. */
export const withStop = (text: string): string => text.replace(/\.?$/, '.');

/** Where a finding stands, in one or two sentences. */
export function standingWords(standing: Standing): string {
  const { kind, back, by, assignee, due, overdue, reason } = standing;
  if (kind === 'handed-over')
    return `With ${assignee?.name ?? 'nobody'}${due === null ? '' : `, due ${dayWords(due)}`}${overdue ? ': overdue' : ''}.`;
  const because = reason === null ? '' : ` Reason: ${withStop(reason)}`;
  if (kind === 'put-off' || kind === 'accepted') {
    const done = kind === 'put-off' ? 'put off' : 'accepted as known';
    if (back === 'urgency')
      return `Back, because it has become more urgent: it was ${done} by ${by.name}.${because}`;
    if (back === 'date') return `Back on its day: it was ${done} by ${by.name}.${because}`;
    const until = due === null ? 'until it becomes more urgent' : `until ${dayWords(due)}`;
    return `${kind === 'put-off' ? `Put off ${until}` : `Accepted as known ${until}`} by ${by.name}.${because}`;
  }
  if (kind === 'closed')
    return `${back === 'urgency' ? 'Back, because it has become more urgent. ' : ''}Closed after a visit by ${by.name}. ${outcomeWords(standing.outcome)}`.trim();
  return 'Nobody has it yet.';
}

/** The same in few words, for a line of the round. */
export function standingBriefly({ kind, back, assignee, due, overdue, outcome }: Standing): string {
  if (kind === 'handed-over')
    return `with ${assignee?.name ?? 'nobody'}${due === null ? '' : overdue ? ', overdue' : `, due ${dayWords(due)}`}`;
  if (back !== null) return 'back';
  if (kind === 'put-off') return due === null ? 'put off' : `put off until ${dayWords(due)}`;
  if (kind === 'accepted') return 'accepted as known';
  if (kind === 'closed')
    return outcome?.kind === 'came-back' ? 'came back after a visit' : 'visited, watched';
  return '';
}
