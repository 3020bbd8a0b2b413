import { withoutTrend } from '../../signals/detrend.js';
import { meansOnGrid } from '../../signals/resample.js';
import { fitSine } from '../../signals/sine-fit.js';

/** Whether most of what moves is a swing of which the series holds fewer cycles than a verdict needs, but more than one and a half. */
export function swingTooSlow(
  time_s: Float64Array,
  value: Float64Array,
  span: number,
  fewestCycles: number,
  longest_s: number,
): boolean {
  const coarse = 48;
  const step = span / coarse;
  const grid = meansOnGrid(time_s, value, time_s[0], step * 1.0001, coarse, 0);
  const places: number[] = [];
  const means: number[] = [];
  grid.forEach((mean, i) => {
    if (!Number.isFinite(mean)) return;
    places.push((i + 0.5) * step);
    means.push(mean);
  });
  const rest = withoutTrend(places, means, 1);
  for (let cycles = 1.75; cycles < fewestCycles; cycles += 0.25) {
    const period = span / cycles;
    if (period > longest_s * 2) continue;
    const fit = fitSine(places, rest, period);
    if (fit && fit.varianceFraction > 0.7) return true;
  }
  return false;
}
