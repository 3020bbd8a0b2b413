import { silenceLimits } from '../../findings/silence.js';

/** Why a unit is not on the round. Silence becomes a finding only after a while, and is no good news until then. */
export function quietNote(lastReading: string | null, asOf_s: number): string {
  if (lastReading === null) return 'Registered and never heard, so it cannot be judged.';
  return asOf_s - Date.parse(lastReading) / 1000 < silenceLimits.watch_s
    ? 'Nothing found that needs attention.'
    : 'It has stopped sending, so its present state is unknown.';
}
