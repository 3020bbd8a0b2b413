import { statement, type Statement } from '../../diagnosis/statement.js';
import type { CauseExplanation, HuntingCause } from '../../steadiness/circuit-assessment.js';

/** The one check, remote where possible, that separates the two likeliest causes. Null where one stands alone. */
export function separatingCheck(causes: readonly CauseExplanation[]): Statement | null {
  if (causes.length < 2) return null;
  const pair = [causes[0].key, causes[1].key];
  const has = (cause: HuntingCause) => pair.includes(cause);
  if (has('valve-friction'))
    return statement(
      'Have the valve held at a fixed opening for ten minutes at steady load: a swing that stops was made by loop and valve together; then step it by 2 % both ways and see whether superheat answers each step, which a sticking valve does not.',
    );
  if (has('load-or-water-swings'))
    return statement(
      'Have the valve held at a fixed opening for ten minutes: if superheat goes on swinging with load or water, the swing comes from outside.',
    );
  if (has('circuits-disturb-each-other'))
    return statement(
      'Hold the other circuit at fixed load and fixed opening for ten minutes and see whether this one calms down.',
    );
  if (has('under-steady-floor'))
    return statement(
      'Raise the superheat setpoint by 2 K for an hour at the same load: hunting under the steady floor stops, hunting from tuning goes on.',
    );
  if (has('valve-too-large'))
    return statement(
      'Compare with hours of high load: a valve too large calms down when it is well open, a loop tuned too hard goes on.',
    );
  return statement(
    'Read superheat with a second sensor for ten minutes, or look whether suction pressure swings at the same period.',
  );
}
