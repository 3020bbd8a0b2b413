import { isRising, spacingsOf } from '../../numerics/index.js';
import { meansOnGrid } from '../../signals/resample.js';

/** Finite samples, averaged into bins where they come faster than the shortest period needs. */
export function usableSamples(time_s: ArrayLike<number>, value: ArrayLike<number>, coarsest_s: number) {
  let count = 0;
  const t = new Float64Array(time_s.length);
  const v = new Float64Array(time_s.length);
  for (let i = 0; i < time_s.length; i++) {
    if (!Number.isFinite(value[i])) continue;
    t[count] = time_s[i];
    v[count++] = value[i];
  }
  let time = t.subarray(0, count);
  let values = v.subarray(0, count);
  let spacing_s = ownInterval(time);
  if (spacing_s < coarsest_s / 2 && count > 100) {
    const step = coarsest_s;
    const start = time[0];
    const bins = Math.floor((time[count - 1] - start) / step) + 1;
    const means = meansOnGrid(time, values, start, step, bins, 0);
    const times = meansOnGrid(time, time, start, step, bins, 0);
    let kept = 0;
    for (let i = 0; i < bins; i++) {
      if (!Number.isFinite(means[i])) continue;
      t[kept] = times[i];
      v[kept++] = means[i];
    }
    time = t.subarray(0, kept);
    values = v.subarray(0, kept);
    spacing_s = step;
  }
  return { time_s: time, value: values, spacing_s };
}

/**
 * The sensor's own interval: the median spacing where spacings are alike, else a low percentile of them, which finds it
 * even where most samples are lost.
 */
function ownInterval(time_s: Float64Array): number {
  if (time_s.length < 2) return Infinity;
  const gaps = spacingsOf(time_s);
  if (!isRising(gaps)) gaps.sort();
  const at = (fraction: number) => gaps[Math.floor(gaps.length * fraction)];
  return at(0.75) - at(0.25) < 0.8 * at(0.5) ? at(0.5) : at(0.02);
}
