/** Minutes over which both are averaged, and by how many of them one may come after the other. */
const bin_s = 60;
const lags = 2;
/** Fewest pairs of moves, and smallest standard deviation of the opening's, %. Judgement, no source. */
const least = { pairs: 40, opening_pct: 0.05 };

/**
 * How far the valve's moves and superheat's go together from one minute to the next: the correlation of the changes of
 * their one-minute means, at the lag of up to two minutes to either side at which it is largest in size.
 *
 * A controller of superheat opens the valve when superheat rises and shuts it when it falls, and superheat answers: the
 * correlation is large, however calm the circuit is, because superheat is never quite still. A valve that holds a liquid
 * level does not see superheat. Of n independent pairs the largest of five correlations is over 2.6 / sqrt(n) in one case of
 * 20 (normal distribution, Bonferroni).
 *
 * @param superheat_K NaN outside steady running
 * @returns null where there are under 40 pairs of minutes, or the valve does not move
 */
export function followsSuperheat(
  time_s: Float64Array,
  superheat_K: Float64Array,
  opening_pct: Float64Array,
): number | null {
  const bins = meansOf(time_s, superheat_K, opening_pct);
  const superheat = changes(bins.superheat);
  const opening = changes(bins.opening);
  let moved = 0;
  let count = 0;
  for (const change of opening)
    if (Number.isFinite(change)) {
      moved += change * change;
      count++;
    }
  if (count < least.pairs || !(Math.sqrt(moved / count) >= least.opening_pct)) return null;
  let largest: number | null = null;
  for (let lag = -lags; lag <= lags; lag++) {
    const r = correlationAt(superheat, opening, lag);
    if (r !== null && Math.abs(r) > Math.abs(largest ?? 0)) largest = r;
  }
  return largest;
}

function meansOf(time_s: Float64Array, superheat_K: Float64Array, opening_pct: Float64Array) {
  const n = time_s.length;
  const first = n > 0 ? Math.floor(time_s[0] / bin_s) : 0;
  const size = n > 0 ? Math.floor(time_s[n - 1] / bin_s) - first + 1 : 0;
  const superheat = new Float64Array(size);
  const opening = new Float64Array(size);
  const counts = new Uint32Array(size);
  for (let i = 0; i < n; i++) {
    if (!Number.isFinite(superheat_K[i] + opening_pct[i])) continue;
    const bin = Math.floor(time_s[i] / bin_s) - first;
    superheat[bin] += superheat_K[i];
    opening[bin] += opening_pct[i];
    counts[bin]++;
  }
  const mean = (sum: number, bin: number) => (counts[bin] > 0 ? sum / counts[bin] : NaN);
  return { superheat: superheat.map(mean), opening: opening.map(mean) };
}

const changes = (values: Float64Array): Float64Array =>
  values.map((value, i) => (i > 0 ? value - values[i - 1] : NaN));

/** Correlation of a[i] with b[i + lag], about zero as changes have no mean to speak of; null under the fewest pairs. */
function correlationAt(a: Float64Array, b: Float64Array, lag: number): number | null {
  let ab = 0;
  let aa = 0;
  let bb = 0;
  let count = 0;
  for (let i = Math.max(0, -lag); i < Math.min(a.length, b.length - lag); i++) {
    const [x, y] = [a[i], b[i + lag]];
    if (!Number.isFinite(x + y)) continue;
    ab += x * y;
    aa += x * x;
    bb += y * y;
    count++;
  }
  return count >= least.pairs && aa > 0 && bb > 0 ? ab / Math.sqrt(aa * bb) : null;
}
