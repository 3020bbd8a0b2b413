/**
 * Values carried forward until the next one, as a receiver of values sent on change must read them (sample and hold).
 *
 * A value stands for at most `limit_s`; it stands for nothing over a silence of the whole gateway, which `heard` tells:
 * the time of the last row with anything in it, at each wanted time.
 *
 * @param at_s times for which values are wanted, ascending
 * @returns values at those times; NaN before the first one, and where the last one is too old
 */
export function heldValues(
  time_s: ArrayLike<number>,
  values: ArrayLike<number>,
  at_s: ArrayLike<number>,
  limit_s: number,
  heard: { last_s: ArrayLike<number>; silence_s: number } | null = null,
): Float64Array {
  const out = new Float64Array(at_s.length).fill(NaN);
  let next = 0;
  let value = NaN;
  let since_s = -Infinity;
  for (let k = 0; k < at_s.length; k++) {
    while (next < values.length && time_s[next] <= at_s[k]) {
      if (Number.isFinite(values[next])) {
        value = values[next];
        since_s = time_s[next];
      }
      next++;
    }
    const silent = heard !== null && at_s[k] - heard.last_s[k] > heard.silence_s;
    if (at_s[k] - since_s <= limit_s && !silent) out[k] = value;
  }
  return out;
}
