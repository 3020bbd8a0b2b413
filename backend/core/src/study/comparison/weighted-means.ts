/** Weighted means of two groups of rows, the first's first, and the sums of their weights. */
export function weightedMeans(
  values: Float64Array,
  first: readonly boolean[],
  weights: Float64Array | null,
): { means: [number, number]; totals: [number, number] } {
  const sums = [0, 0];
  const totals: [number, number] = [0, 0];
  for (let row = 0; row < values.length; row++) {
    const group = first[row] ? 0 : 1;
    const weight = weights?.[row] ?? 1;
    sums[group]! += weight * values[row]!;
    totals[group]! += weight;
  }
  return { means: [sums[0]! / totals[0], sums[1]! / totals[1]], totals };
}
