/** By how much one stream follows another in a stretch of time. */
export interface StreamDelay {
  /** Negative: it comes first. s. */
  delay_s: number;
  /** Of the changes of both at that delay, -1 to 1. */
  correlation: number;
}

/** A change is the mean of so many values less that of as many before: slow trends fall out, a step stays. */
const arm = 4;
const fewestPairs = 120;
const leastCorrelation = 0.5;

/**
 * Changes of a stream on an even grid, as a filter matched to a step sees them: the mean of the next four values less that
 * of the last four. NaN beside missing values.
 */
export function changesOf(values: ArrayLike<number>): Float64Array {
  const n = values.length;
  const changes = new Float64Array(n).fill(NaN);
  for (let i = arm; i + arm <= n; i++) {
    let change = 0;
    for (let k = 0; k < arm; k++) change += values[i + k] - values[i - 1 - k];
    changes[i] = change / arm;
  }
  return changes;
}

/**
 * The delay at which the changes of one stream go most with those of another (cross-correlation, its peak by a parabola
 * through the three values about it, e.g. Bendat & Piersol, Random Data, section on time delay), in `[from, to)` of the grid.
 *
 * What a physical lag adds is part of it: only how the delay changes from day to day tells of clocks.
 *
 * @param spacing_s of the grid
 * @param about_s the delay is looked for from `width_s` before to `width_s` after this
 * @returns null: too few values, nothing that goes together, or no peak within the width
 */
export function streamDelay(
  leads: ArrayLike<number>,
  follows: ArrayLike<number>,
  { from, to }: { from: number; to: number },
  { spacing_s, about_s, width_s }: { spacing_s: number; about_s: number; width_s: number },
): StreamDelay | null {
  const middle = Math.round(about_s / spacing_s);
  const width = Math.round(width_s / spacing_s);
  const all = Array.from({ length: 2 * width + 1 }, (_, k) =>
    correlationAt(leads, follows, from, to, middle - width + k),
  );
  let best = 0;
  for (let k = 1; k < all.length; k++) if (Math.abs(all[k]) > Math.abs(all[best])) best = k;
  const sign = Math.sign(all[best]);
  if (best === 0 || best === all.length - 1 || !(Math.abs(all[best]) >= leastCorrelation)) return null;
  const [before, at, after] = [sign * all[best - 1], sign * all[best], sign * all[best + 1]];
  const beside = (before - after) / (2 * (before - 2 * at + after));
  return { delay_s: (middle - width + best + beside) * spacing_s, correlation: all[best] };
}

/** Correlation about zero of changes so many places apart; 0 where too few are there. */
function correlationAt(
  leads: ArrayLike<number>,
  follows: ArrayLike<number>,
  from: number,
  to: number,
  lag: number,
): number {
  let [products, squares, others, count] = [0, 0, 0, 0];
  const end = Math.min(to, follows.length - lag);
  for (let i = Math.max(from, -lag); i < end; i++) {
    const one = leads[i];
    const other = follows[i + lag];
    const product = one * other;
    if (product !== product) continue;
    products += product;
    squares += one * one;
    others += other * other;
    count++;
  }
  return count >= fewestPairs && squares > 0 && others > 0 ? products / Math.sqrt(squares * others) : 0;
}
