import { statement, type Statement } from '../../diagnosis/statement.js';
import type { CauseExplanation, HuntingCause } from '../../steadiness/circuit-assessment.js';

/** The one check, remote where possible, that separates the two likeliest causes. Null where one stands alone. */
export function separatingCheck(causes: readonly CauseExplanation[]): Statement | null {
  if (causes.length < 2) return null;
  const pair = [causes[0].key, causes[1].key];
  const has = (cause: HuntingCause) => pair.includes(cause);
  if (has('valve-friction'))
    return statement(
      'Have the valve held at a fixed opening for ten minutes at steady load. If the swing stops, loop and valve cause it together; then step the opening by 2 % in both directions: with a sticking valve superheat does not follow every step.',
    );
  if (has('load-or-water-swings'))
    return statement(
      'Have the valve held at a fixed opening for ten minutes: if superheat keeps swinging with load or water, the cause is outside the circuit.',
    );
  if (has('circuits-disturb-each-other'))
    return statement(
      'Hold the other circuit at fixed load and fixed opening for ten minutes and see whether this one becomes steady.',
    );
  if (has('under-steady-floor'))
    return statement(
      'Raise the superheat setpoint by 2 K for an hour at the same load: hunting under the steady floor stops, hunting from tuning continues.',
    );
  if (has('valve-too-large'))
    return statement(
      'Compare with hours of high load: with a valve that is too large the hunting stops when it is well open, with a loop tuned too hard it continues.',
    );
  return statement(
    'Read superheat with a second sensor for ten minutes, or check whether suction pressure swings at the same period.',
  );
}
