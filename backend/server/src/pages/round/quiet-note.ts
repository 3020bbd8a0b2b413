import { silenceLimits } from '../../findings/silence.js';

/** Why a unit is not on the round. Silence becomes a finding only after a while, and is no good news until then. */
export function quietNote(lastReading: string | null, asOf_s: number): string {
  if (lastReading === null) return 'No reading has come yet, so nothing can be said.';
  return asOf_s - Date.parse(lastReading) / 1000 < silenceLimits.watch_s
    ? 'Nothing found that asks for attention.'
    : 'It is silent, so nothing can be said of how it is now.';
}
