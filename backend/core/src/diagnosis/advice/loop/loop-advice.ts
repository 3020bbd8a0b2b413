import { quantity, statement } from '../../statement.js';
import type { Advice } from '../advice.js';
import { identifyLoop, type SwingRecord } from './identify-loop.js';
import { marginalLoop, openLoop, steadyGain } from './loop-model.js';

/** Over this ratio of its ends a range says nothing that could be set. */
const widest = 4;
/** A swing that goes on has a loop gain of one: how far the identified loop may be off that at the swing's period. */
const loopGainWithin = [0.5, 2] as const;

/**
 * The fraction of today's gain with which a loop that swings would be steady: the loop is identified in its own swing, and
 * the gain that gives it the robustness of Skogestad's rule at its present integral time is compared with today's. The
 * range is that over all models that the swing allows. Null where the loop could not be identified, it would not swing by
 * what was identified, the range is too wide, or today's gain is no higher.
 */
export function loopGainAdvice(record: SwingRecord): Advice | null {
  const loop = identifyLoop(record);
  if (loop === null) return null;
  const { gain_pct_K, integralTime_s } = loop.control;
  const [real, imaginary] = openLoop(loop.best, loop.control, (2 * Math.PI) / record.period_s);
  const around = Math.hypot(real, imaginary);
  if (!(around > loopGainWithin[0] && around < loopGainWithin[1])) return null;
  const shares = loop.models.flatMap((model) => {
    const gain = steadyGain(model, integralTime_s);
    return gain === null ? [] : [gain / gain_pct_K];
  });
  const best = steadyGain(loop.best, integralTime_s);
  const marginal = marginalLoop(loop.best, integralTime_s);
  if (best === null || marginal === null || shares.length < 0.5 * loop.models.length) return null;
  const share = best / gain_pct_K;
  const low = Math.min(...shares);
  const high = Math.max(...shares);
  if (share >= 1 || high > widest * low) return null;
  return {
    change: 'loop-gain',
    sentence: statement(
      'With {share} of today’s gain ({low} to {high}) and its integral time as it is, the superheat loop would be steady.',
      {
        share: quantity('share', share),
        low: quantity('share', low),
        high: quantity('share', Math.min(1, high)),
      },
    ),
    basis: statement(
      'From the swing itself: superheat follows the opening with a lag of {lag} and a dead time of {dead}; the gain is that of Skogestad’s rule (SIMC, highest sensitivity 1.59). To be changed by authorised staff only.',
      {
        lag: quantity('duration', loop.best.lag_s),
        dead: quantity('duration', loop.best.deadTime_s),
      },
    ),
    figures: {
      gain: { value: share, low, high: Math.min(1, high), unit: 'share' },
      lag: rangeOf(
        loop.best.lag_s,
        loop.models.map(({ lag_s }) => lag_s),
      ),
      deadTime: rangeOf(
        loop.best.deadTime_s,
        loop.models.map(({ deadTime_s }) => deadTime_s),
      ),
    },
  };
}

const rangeOf = (value: number, all: readonly number[]) => ({
  value,
  low: Math.min(...all),
  high: Math.max(...all),
  unit: 's' as const,
});
