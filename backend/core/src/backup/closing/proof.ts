import { quantity, statement, type Statement } from '../../diagnosis/index.js';
import type { ClosingJudgement } from './closing-judgement.js';
import type { BackupSettings } from '../settings.js';

export type ProofState =
  | { state: 'proven'; lastProof_s: number; age_s: number; kind: 'self-test' | 'power-loss' }
  | {
      state: 'unproven';
      reason: 'no-closing' | 'too-old' | 'telemetry-too-coarse' | 'did-not-shut' | 'no-travel';
      lastProof_s: number | null;
      sentence: Statement;
    };

const day_s = 86400;

/**
 * A closing in which the valve should have shut and did not. A self-test in which the valve did not move at all only
 * loads the capacitor: it proves nothing, but it is no failure either.
 */
export function failedToShut(closing: ClosingJudgement): boolean {
  if (closing.shut !== false) return false;
  if (closing.kind === 'power-loss') return true;
  return (closing.openingBefore_pct ?? 0) - (closing.openingAfter_pct ?? 0) >= 1;
}

/**
 * Whether the module has lately been seen to shut its valve on stored energy. Unproven is a state of its own: too
 * long ago, never, by telemetry too coarse to tell, or by a closing since that did not end shut.
 */
export function proofState(
  closings: readonly ClosingJudgement[],
  now_s: number,
  settings: BackupSettings,
): ProofState {
  let lastProof: ClosingJudgement | null = null;
  let lastFailure: ClosingJudgement | null = null;
  for (const closing of closings) {
    if (closing.proof) lastProof = closing;
    else if (failedToShut(closing)) lastFailure = closing;
  }
  const lastProof_s = lastProof?.startedAt_s ?? null;
  const unproven = (
    reason: Extract<ProofState, { state: 'unproven' }>['reason'],
    sentence: Statement,
  ): ProofState => ({
    state: 'unproven',
    reason,
    lastProof_s,
    sentence,
  });
  if (lastFailure && (lastProof_s === null || lastFailure.startedAt_s > lastProof_s))
    return unproven(
      'did-not-shut',
      statement('The valve did not shut in its last closing, at {at}.', {
        at: quantity('instant', lastFailure.startedAt_s),
      }),
    );
  if (lastProof) {
    const age_s = now_s - lastProof.startedAt_s;
    if (age_s <= settings.proofValidity_d * day_s)
      return { state: 'proven', lastProof_s: lastProof.startedAt_s, age_s, kind: lastProof.kind };
    return unproven(
      'too-old',
      statement(
        'The last closing seen to shut the valve was {age} ago; after {validity} it no longer counts as proof.',
        {
          age: quantity('duration', age_s),
          validity: quantity('duration', settings.proofValidity_d * day_s),
        },
      ),
    );
  }
  if (closings.length === 0)
    return unproven('no-closing', statement('No closing on stored energy has been seen.'));
  if (closings.every((closing) => closing.shut === null))
    return unproven(
      'telemetry-too-coarse',
      statement('Closings seen: {closings}; none was sent finely enough to tell whether the valve shut.', {
        closings: quantity('count', closings.length),
      }),
    );
  return unproven(
    'no-travel',
    statement(
      'Closings seen: {closings}; in none did the valve travel far enough on stored energy to prove that the module can shut it.',
      {
        closings: quantity('count', closings.length),
      },
    ),
  );
}
