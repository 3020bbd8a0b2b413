/** What the round of now is compared with. */
export type Since = 'look' | 'yesterday' | 'week' | (string & {});

const day_ms = 86_400_000;

/** To the minute, so that what is asked for stays the same for as long. */
const toTheMinute = (at_ms: number): string => new Date(Math.floor(at_ms / 60_000) * 60_000).toISOString();

/** The moment that a choice stands for, ISO; yesterday and the week are 24 hours and seven days ago. */
export function sinceInstant(since: Since, look_ms: number | null, now_ms: number): string {
  if (since === 'look') return toTheMinute(look_ms ?? now_ms - day_ms);
  if (since === 'yesterday') return toTheMinute(now_ms - day_ms);
  if (since === 'week') return toTheMinute(now_ms - 7 * day_ms);
  const given_ms = Date.parse(since);
  // Of the future nothing is known.
  return toTheMinute(Math.min(Number.isFinite(given_ms) ? given_ms : now_ms - day_ms, now_ms));
}
