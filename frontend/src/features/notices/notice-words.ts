import type { SentMessage, WebhookEvent } from '../../api/notices.js';

export const dayNames = ['Monday', 'Tuesday', 'Wednesday', 'Thursday', 'Friday', 'Saturday', 'Sunday'];

export const eventWords: Record<WebhookEvent, string> = {
  'needs-a-look-today': 'a unit needs a look today',
  'more-urgent': 'a unit becomes more urgent',
  'less-urgent': 'a unit becomes less urgent, or nothing is wrong any more',
  decided: 'somebody decides on a finding',
};

/** What became of a message; `at` says a moment in words. */
export function stateWords(
  { state, attempts, endedAt, nextTry }: Pick<SentMessage, 'state' | 'attempts' | 'endedAt' | 'nextTry'>,
  at: (instant: string) => string,
): string {
  const tries = attempts === 1 ? 'one try' : `${attempts} tries`;
  if (state === 'sent') return `sent ${endedAt === null ? '' : at(endedAt)}`.trim();
  if (state === 'given-up') return `given up after ${tries}`;
  return nextTry === null ? 'on its way' : `not taken after ${tries}, next one ${at(nextTry)}`;
}
