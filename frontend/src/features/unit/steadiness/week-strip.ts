import type { WindowRow } from '../../../api/types.js';
import { clockOf_ms, type Zone } from '../../../quantities/site-time.js';

/** What a window looks like at a glance; `low` may come on top of any. */
export type WindowLook = 'steady' | 'hunting' | 'undecided' | 'not-running';

/** Share of steady time under the floodback limit from which a window is marked as low. */
export const lowFrom = 0.02;

export function lookOf(row: WindowRow): WindowLook {
  if (row.steadyMinutes < 1) return 'not-running';
  // A cycle too small to matter does not make a window restless.
  return row.hunts === null ? 'undecided' : row.hunts ? 'hunting' : 'steady';
}

export const isLow = (row: WindowRow) => row.floodbackFraction !== null && row.floodbackFraction > lowFrom;

export interface StripCell {
  row: WindowRow;
  /** Column: day from the first day; line: part of the day. */
  day: number;
  part: number;
}

const day_ms = 86_400_000;

/** Places windows on a calendar by the clock of the zone: a column per day, a line per two hours. Days are clock times. */
export function placeWindows(rows: readonly WindowRow[], zone: Zone): { cells: StripCell[]; days: number[] } {
  if (rows.length === 0) return { cells: [], days: [] };
  const dayOf = (time_s: number) => Math.floor(clockOf_ms(time_s * 1000, zone) / day_ms);
  const first = dayOf(Math.min(...rows.map((row) => row.start_s)));
  const index = (time_s: number) => dayOf(time_s) - first;
  const last = index(Math.max(...rows.map((row) => row.start_s)));
  const days = Array.from({ length: last + 1 }, (_, day) => (first + day) * day_ms);
  const cells = rows.map((row) => ({
    row,
    day: index(row.start_s),
    part: Math.floor(new Date(clockOf_ms(row.start_s * 1000, zone)).getUTCHours() / 2),
  }));
  return { cells, days };
}

/** The window to open first: the newest that hunts, else the newest with steady running, else the newest. */
export function firstWindow(rows: readonly WindowRow[]): WindowRow | null {
  const newest = [...rows].sort((a, b) => b.start_s - a.start_s);
  return (
    newest.find((row) => row.hunts === true) ??
    newest.find((row) => row.steadyMinutes >= 1) ??
    newest[0] ??
    null
  );
}

/** The window that holds a moment; null where there is none. */
export const windowAt = (rows: readonly WindowRow[], time_s: number | null): WindowRow | null =>
  time_s === null ? null : (rows.find((row) => row.start_s <= time_s && time_s < row.end_s) ?? null);
