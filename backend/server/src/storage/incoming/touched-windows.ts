import type { CompleteRows } from './series-rows.js';

export const window_ms = 7_200_000;

/** Owner and window (2 h) of rows that changed. */
export interface Touched {
  ownerId: number;
  window: number;
}

/** Every window that rows lie in; once for each run of times within it. */
export function touchedBy(runs: CompleteRows[]): Touched[] {
  const touched: Touched[] = [];
  for (const run of runs) {
    let last = NaN;
    for (let i = 0; i < run.length; i++) {
      const window = Math.floor(run.time_ms[i] / window_ms);
      if (window !== last) touched.push({ ownerId: run.ownerId, window: (last = window) });
    }
  }
  return touched;
}
