import type { Samples } from '../../cold/merge-samples.js';

export type Aggregate = 'avg' | 'min' | 'max';

/**
 * Samples put into bins of one width as the database does it: a bin for each stretch that has a sample, NaN in a column of which it
 * has no value, single precision.
 */
export function binned(
  { time_s, columns }: Samples,
  aggregates: readonly Aggregate[],
  width_s: number,
): { time_s: Float64Array; columns: Float64Array[] } {
  const starts = binStarts(time_s, width_s);
  return {
    time_s: Float64Array.from(starts, (row) => Math.floor(time_s[row] / width_s) * width_s),
    columns: columns.map((values, at) =>
      Float64Array.from(starts, (first, bin) =>
        Math.fround(aggregated(values, first, starts[bin + 1] ?? values.length, aggregates[at])),
      ),
    ),
  };
}

/** How many samples each bin has; with a column, how many values of it, bins without any left out. */
export function counted(
  { time_s, columns }: Samples,
  width_s: number,
): { time_s: number[]; count: number[] } {
  const starts = binStarts(time_s, width_s);
  const bins = starts.map((first, bin) => {
    const end = starts[bin + 1] ?? time_s.length;
    const count =
      columns.length === 0
        ? end - first
        : columns[0].subarray(first, end).filter((value) => !Number.isNaN(value)).length;
    return { time_s: Math.floor(time_s[first] / width_s) * width_s, count };
  });
  const some = bins.filter(({ count }) => count > 0);
  return { time_s: some.map((bin) => bin.time_s), count: some.map(({ count }) => count) };
}

/** First row of each bin. */
function binStarts(time_s: Float64Array, width_s: number): number[] {
  const starts: number[] = [];
  let last = NaN;
  for (let row = 0; row < time_s.length; row++) {
    const bin = Math.floor(time_s[row] / width_s);
    if (bin !== last) starts.push(row);
    last = bin;
  }
  return starts;
}

function aggregated(values: Float64Array, from: number, to: number, aggregate: Aggregate): number {
  let count = 0;
  let result = aggregate === 'avg' ? 0 : aggregate === 'min' ? Infinity : -Infinity;
  for (let row = from; row < to; row++) {
    const value = values[row];
    if (Number.isNaN(value)) continue;
    count++;
    if (aggregate === 'avg') result += value;
    else result = aggregate === 'min' ? Math.min(result, value) : Math.max(result, value);
  }
  if (count === 0) return NaN;
  return aggregate === 'avg' ? result / count : result;
}
