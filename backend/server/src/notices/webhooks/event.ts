import { urgencies, type Urgency } from '@coldrounds/core';
import { unitName } from '../../registry/fleet.js';
import { statementWords } from '../mail/quantity-words.js';
import type { UnitProblems } from '../unit-problems.js';

/** What a webhook can be told of. */
export const webhookEvents = ['needs-a-look-today', 'more-urgent', 'less-urgent', 'decided'] as const;
export type WebhookEvent = (typeof webhookEvents)[number];

/** The body of a message to a webhook, as Standard Webhooks has it: what happened, when, and its data. */
export interface EventDocument {
  type: WebhookEvent | 'test';
  timestamp: string;
  data: object;
}

const today = urgencies.indexOf('today');
const calls = urgencies.indexOf('watch');

/** How a change of a unit's place is called. It is no event when the urgency falls among those who ask nothing of anyone. */
export const eventOf = (before: number, now: number): WebhookEvent =>
  now === today && now <= before ? 'needs-a-look-today' : now < before ? 'more-urgent' : 'less-urgent';

const urgencyOf = (place: number): Urgency | null => (place >= calls ? null : urgencies[place]);

export function unitEvent(
  { before, now }: { before: number; now: number },
  { unit, problems }: UnitProblems,
  at: Date,
): EventDocument {
  return {
    type: eventOf(before, now),
    timestamp: at.toISOString(),
    data: {
      unit: unitName(unit),
      site: unit.site.name,
      name: unit.name,
      urgency: urgencyOf(now),
      before: urgencyOf(before),
      problems: problems
        .filter(({ urgency }) => urgency !== 'watch')
        .map(({ sentences, urgency, cause }) => ({
          sentences: sentences.map((one) => statementWords(one, 'si', unit.site.timeZone)),
          urgency,
          cause,
        })),
    },
  };
}

export const testEvent = (name: string, at: Date): EventDocument => ({
  type: 'test',
  timestamp: at.toISOString(),
  data: { webhook: name },
});
