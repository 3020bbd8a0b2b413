import type { CompleteRows } from './series-rows.js';

const hour_ms = 3_600_000;
const hoursOfWindow = 2;
export const window_ms = hoursOfWindow * hour_ms;

/** Owner and window (2 h) of rows that changed. */
export interface Touched {
  ownerId: number;
  window: number;
}

/** What changed of one owner in one hour (since the epoch). */
export interface ChangedHour {
  ownerId: number;
  hour: number;
  /** Rows that are new or filled up. */
  rows: number;
  /** Of these, rows that brought the value by which samples of a circuit are counted. */
  samples: number;
}

/** Every hour that new rows lie in; once for each run of times within it. `counted`: the column by which samples are counted. */
export function hoursOf(runs: readonly CompleteRows[], counted: number): ChangedHour[] {
  const hours: ChangedHour[] = [];
  for (const { ownerId, length, time_ms, columns } of runs) {
    const values = columns[counted] as Float64Array | undefined;
    for (let i = 0; i < length;) {
      const hour = Math.floor(time_ms[i] / hour_ms);
      const end_ms = (hour + 1) * hour_ms;
      const first = i;
      let samples = 0;
      for (; i < length && time_ms[i] < end_ms; i++)
        if (values !== undefined && !Number.isNaN(values[i])) samples++;
      hours.push({ ownerId, hour, rows: i - first, samples });
    }
  }
  return hours;
}

/** The windows that these hours lie in, each once for each of its hours at most. */
export function windowsOf(hours: readonly ChangedHour[]): Touched[] {
  const touched: Touched[] = [];
  let last: Touched | undefined;
  for (const { ownerId, hour } of hours) {
    const window = Math.floor(hour / hoursOfWindow);
    if (last?.ownerId !== ownerId || last.window !== window) touched.push((last = { ownerId, window }));
  }
  return touched;
}
