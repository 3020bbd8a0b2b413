import type { OperatingState, ValveUse } from '../steadiness/windows/window-judgement.js';

export const nearShut_pct = 10;
export const nearOpen_pct = 95;
/** A band over this is that of a coarse reading, %. Judgement, no source. */
const coarse_pct = 1;

/**
 * Travel and reversals of the valve over all samples but silent ones, and where it stood while running.
 * Travel is the sum of all moves over full stroke. A reversal is a turn by more than `deadBand_pct`, so that the last
 * digit of the reading does not count; the band is the larger of 0.2 % and twice the reading's own resolution.
 * A reading in coarse steps flickers from one to the next: there only moves by more than the band are travel, which is
 * then too small by up to a band at each reversal. Null without an opening.
 */
export function valveUseOf(
  opening_pct: Float64Array,
  state: readonly OperatingState[],
  weight_s: Float64Array,
  deadBand_pct = 0.2,
): ValveUse | null {
  let time = 0;
  let sum = 0;
  let minimum = Infinity;
  let maximum = -Infinity;
  let nearShut = 0;
  let nearOpen = 0;
  let observed = 0;
  let travel = 0;
  let reversals = 0;
  let previous = NaN;
  let direction = 0;
  let turning = NaN;
  const coarse = deadBand_pct > coarse_pct;
  for (let i = 0; i < opening_pct.length; i++) {
    const value = opening_pct[i];
    if (!Number.isFinite(value)) continue;
    observed += weight_s[i];
    if (Number.isFinite(previous) && !coarse) travel += Math.abs(value - previous);
    previous = value;
    const before = turning;
    if (Number.isNaN(turning)) turning = value;
    if (direction === 0) {
      if (Math.abs(value - turning) > deadBand_pct) {
        direction = Math.sign(value - turning);
        turning = value;
      }
    } else if ((value - turning) * direction > 0) turning = value;
    else if (Math.abs(value - turning) > deadBand_pct) {
      direction = -direction;
      turning = value;
      reversals++;
    }
    if (coarse && Number.isFinite(before)) travel += Math.abs(turning - before);
    const running = state[i] === 'steady' || state[i] === 'changing' || state[i] === 'starting';
    if (!running) continue;
    time += weight_s[i];
    sum += weight_s[i] * value;
    if (value < minimum) minimum = value;
    if (value > maximum) maximum = value;
    if (value <= nearShut_pct) nearShut += weight_s[i];
    if (value >= nearOpen_pct) nearOpen += weight_s[i];
  }
  if (Number.isNaN(previous)) return null;
  const ran = time > 0;
  return {
    minutes: observed / 60,
    runningMinutes: time / 60,
    travel_strokes: travel / 100,
    reversals,
    mean_pct: ran ? sum / time : previous,
    minimum_pct: ran ? minimum : previous,
    maximum_pct: ran ? maximum : previous,
    nearShutFraction: ran ? nearShut / time : 0,
    nearOpenFraction: ran ? nearOpen / time : 0,
    followsSuperheat: null,
  };
}
