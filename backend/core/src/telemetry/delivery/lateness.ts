/**
 * Edges of the bins in which lateness is counted, s: arrival of a sample less its own time. Below zero the sender's clock
 * is ahead. Finer than the use that is made of it near zero, coarse where only hours matter. The project's own choice.
 */
export const latenessEdges_s: readonly number[] = [
  -300, -60, -10, -1, 0, 1, 2, 5, 10, 20, 30, 60, 120, 300, 600, 1800, 3600, 7200, 21_600, 86_400, 604_800,
];

/** One bin below the first edge, one above the last, one between each two. */
export const latenessBins = latenessEdges_s.length + 1;

/**
 * A message whose newest sample is later than this is history: it was kept somewhere and sent afterwards, or its clock is
 * wrong. The project's own choice, as the one below.
 */
export const historyFrom_s = 600;
/** The samples of any other message came at once, those that a pack of an hour held back included; older ones are history. */
export const heldBackFrom_s = 4200;

/** The bin of a lateness, s; each holds its lower edge. */
export function latenessBin(lateness_s: number): number {
  let low = 0;
  let high = latenessEdges_s.length;
  while (low < high) {
    const middle = (low + high) >> 1;
    if (lateness_s >= latenessEdges_s[middle]) low = middle + 1;
    else high = middle;
  }
  return low;
}

/**
 * A quantile of lateness from counts in bins, s: the samples of a bin are taken as spread evenly over it, so the answer
 * is known to within its bin. In the two open bins it is their edge. Null where nothing is counted.
 *
 * @param counts one for each bin
 * @param part 0 to 1
 */
export function latenessQuantile_s(counts: ArrayLike<number>, part: number): number | null {
  let total = 0;
  for (let bin = 0; bin < latenessBins; bin++) total += counts[bin] ?? 0;
  if (total === 0) return null;
  const wanted = part * total;
  let before = 0;
  for (let bin = 0; bin < latenessBins; bin++) {
    const own = counts[bin] ?? 0;
    if (own === 0 || before + own < wanted) {
      before += own;
      continue;
    }
    if (bin === 0) return latenessEdges_s[0];
    if (bin === latenessBins - 1) return latenessEdges_s[bin - 1];
    const [from_s, to_s] = [latenessEdges_s[bin - 1], latenessEdges_s[bin]];
    return from_s + ((wanted - before) / own) * (to_s - from_s);
  }
  return latenessEdges_s[latenessEdges_s.length - 1];
}
