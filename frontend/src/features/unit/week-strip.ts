import type { WindowRow } from '../../api/types.js';

/** What a window looks like at a glance; `low` may come on top of any. */
export type WindowLook = 'steady' | 'hunting' | 'unsaid' | 'standing';

/** Share of steady time under the floodback limit from which a window is marked as low. */
export const lowFrom = 0.02;

export function lookOf(row: WindowRow): WindowLook {
  if (row.steadyMinutes < 1) return 'standing';
  return row.oscillating === null ? 'unsaid' : row.oscillating ? 'hunting' : 'steady';
}

export const isLow = (row: WindowRow) => row.floodbackShare !== null && row.floodbackShare > lowFrom;

export interface StripCell {
  row: WindowRow;
  /** Column: day from the first day; line: part of the day. */
  day: number;
  part: number;
}

/** Places windows on a calendar in the reader's own zone: a column per day, a line per two hours. */
export function placeWindows(rows: readonly WindowRow[]): { cells: StripCell[]; days: Date[] } {
  if (rows.length === 0) return { cells: [], days: [] };
  const dayStart = (time_s: number) => {
    const date = new Date(time_s * 1000);
    date.setHours(0, 0, 0, 0);
    return date;
  };
  const first = dayStart(Math.min(...rows.map((row) => row.start_s)));
  const index = (time_s: number) => Math.round((dayStart(time_s).getTime() - first.getTime()) / 86_400_000);
  const last = index(Math.max(...rows.map((row) => row.start_s)));
  const days = Array.from({ length: last + 1 }, (_, day) => {
    const date = new Date(first);
    date.setDate(date.getDate() + day);
    return date;
  });
  const cells = rows.map((row) => ({
    row,
    day: index(row.start_s),
    part: Math.floor(new Date(row.start_s * 1000).getHours() / 2),
  }));
  return { cells, days };
}

/** The window to open first: the newest that hunts, else the newest with steady running, else the newest. */
export function firstWindow(rows: readonly WindowRow[]): WindowRow | null {
  const newest = [...rows].sort((a, b) => b.start_s - a.start_s);
  return (
    newest.find((row) => row.oscillating === true) ??
    newest.find((row) => row.steadyMinutes >= 1) ??
    newest[0] ??
    null
  );
}
