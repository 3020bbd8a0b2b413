import { binMeans, movingMean } from '../signals/resample.js';
import type { CycleShape } from '../steadiness/window-judgement.js';

/** Shape of the cycle in the valve's opening and in superheat at a known period; see `CycleShape`. */
export function cycleShape(
  time_s: Float64Array,
  superheat_K: Float64Array,
  opening_pct: Float64Array,
  period_s: number,
): CycleShape {
  const openingCycle = meanCycle(time_s, opening_pct, period_s);
  const superheatCycle = meanCycle(time_s, superheat_K, period_s);
  return {
    openingCrestShare: openingCycle && crestShare(openingCycle),
    superheatCrestShare: superheatCycle && crestShare(superheatCycle),
    unansweredShare: null,
  };
}

/** The slow part taken off, and bins of a twentieth of the period: the cycles without the noise between the samples. */
function meanCycle(time_s: Float64Array, value: Float64Array, period_s: number): Float64Array | null {
  if (time_s.length < 20) return null;
  const span = time_s[time_s.length - 1] - time_s[0];
  const step = Math.max(span / (time_s.length - 1), period_s / 20);
  if (period_s / step < 8) return null;
  const bins = Math.ceil(span / step) + 1;
  const grid = binMeans(time_s, value, time_s[0] - step / 2, step, bins, period_s / 4);
  const slow = movingMean(grid, 2 * Math.round(period_s / step / 2) + 1);
  return grid.map((v, i) => v - slow[i]);
}

/** Share of the time beyond 0.707 of each cycle's own amplitude. */
function crestShare(cycle: Float64Array): number | null {
  const highs: number[] = [];
  let extreme = 0;
  let sign = 0;
  for (const v of cycle) {
    if (!Number.isFinite(v)) continue;
    if (Math.sign(v) !== sign) {
      if (extreme > 0) highs.push(extreme);
      extreme = 0;
      sign = Math.sign(v);
    }
    extreme = Math.max(extreme, Math.abs(v));
  }
  if (highs.length < 6) return null;
  highs.sort((a, b) => a - b);
  const amplitude = highs[highs.length >> 1];
  let beyond = 0;
  let all = 0;
  for (const v of cycle) {
    if (!Number.isFinite(v)) continue;
    all++;
    if (Math.abs(v) > Math.SQRT1_2 * amplitude) beyond++;
  }
  return beyond / all;
}
