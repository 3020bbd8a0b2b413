/**
 * Where a stretch of `length_s` begins that holds the most of the times, the latest of equals; null: there are none.
 * The stretch is placed so that what it holds lies in its middle.
 */
export function stretchWithMost(times_s: readonly number[], length_s: number): number | null {
  const times = [...times_s].sort((a, b) => a - b);
  let best: { count: number; first: number; last: number } | null = null;
  let from = 0;
  for (let to = 0; to < times.length; to += 1) {
    while (times[to] - times[from] > length_s) from += 1;
    const count = to - from + 1;
    if (best === null || count >= best.count) best = { count, first: times[from], last: times[to] };
  }
  return best === null ? null : (best.first + best.last) / 2 - length_s / 2;
}
