import { standardDeviation } from '../../numerics/index.js';
import type { CycleShape } from '../../steadiness/windows/window-judgement.js';

/**
 * Swings of the opening from one reversal to the next; turns by under 1 % of stroke, or under a third of the opening's
 * standard deviation, do not count. Null under eight swings.
 */
export function cycleShape(opening_pct: Float64Array): CycleShape | null {
  const band = Math.max(1, 0.35 * standardDeviation(opening_pct));
  const swings: number[] = [];
  let direction = 0;
  let turn = NaN;
  let last = NaN;
  for (const value of opening_pct) {
    if (!Number.isFinite(value)) continue;
    if (Number.isNaN(turn)) turn = last = value;
    if (direction === 0) {
      if (Math.abs(value - turn) > band) {
        direction = Math.sign(value - turn);
        turn = value;
      }
    } else if ((value - turn) * direction > 0) turn = value;
    else if (Math.abs(value - turn) > band) {
      swings.push(Math.abs(turn - last));
      last = turn;
      turn = value;
      direction = -direction;
    }
  }
  // The first swing began before the window.
  swings.shift();
  if (swings.length < 8) return null;
  const mean = swings.reduce((sum, swing) => sum + swing, 0) / swings.length;
  return {
    swings: swings.length,
    openingSwing_pct: mean,
    openingSwingScatter: standardDeviation(swings) / mean,
  };
}
