import { urgencies } from '@coldrounds/core';

export const kindsOfChange = ['new', 'worse', 'better', 'gone'] as const;
export type KindOfChange = (typeof kindsOfChange)[number];

/** From `watch` on nobody is asked to do anything. */
const calls = urgencies.indexOf('watch');

/**
 * How the place of a unit has changed, by the urgency of its most urgent finding; null where nobody is asked to do
 * anything, before or now.
 */
export function changeOf(before: number, now: number): KindOfChange | null {
  if (before === now || (before >= calls && now >= calls)) return null;
  if (before >= calls) return 'new';
  if (now >= calls) return 'gone';
  return now < before ? 'worse' : 'better';
}
