import type { GapCalendar } from '../../api/registry/data-health.js';
import { clockOf_ms, type Zone } from '../../quantities/site-time.js';

/** What came in an hour: all of it, a part, nothing, or it is not known. */
export type HourLook = 'all' | 'part' | 'none' | 'unknown';

export interface HourCell {
  start_s: number;
  look: HourLook;
  /** Part of the samples that came. */
  share: number;
  /** Column: day from the first day; line: hour of the day. */
  day: number;
  hour: number;
}

const hour_ms = 3_600_000;
const day_ms = 24 * hour_ms;

export interface CalendarOf {
  calendar: GapCalendar;
  from: string;
  /** Since when what comes is counted. */
  countedSince: string | null;
  /** The running hour is not over: it is not shown. */
  now_ms?: number;
}

/**
 * The hours of a calendar by the clock of the zone. Before the first hour in which anything of the unit came, or before
 * anything was counted at all, nothing is known; afterwards an hour without a sample is one in which nothing came.
 */
export function hourCells({ calendar, from, countedSince, now_ms = Date.now() }: CalendarOf, zone: Zone) {
  const { samples, missing } = calendar;
  const from_ms = Date.parse(from);
  const first = samples.findIndex((count, i) => count > 0 || missing[i] > 0);
  const counted_ms = countedSince === null ? Infinity : Date.parse(countedSince);
  const firstDay = Math.floor(clockOf_ms(from_ms, zone) / day_ms);
  const cells: HourCell[] = [];
  for (let i = 0; i < samples.length; i++) {
    const start_ms = from_ms + i * hour_ms;
    if (start_ms + hour_ms > now_ms) break;
    const clock_ms = clockOf_ms(start_ms, zone);
    const heard = samples[i] + missing[i];
    const look: HourLook =
      heard > 0
        ? samples[i] === 0
          ? 'none'
          : missing[i] > 0
            ? 'part'
            : 'all'
        : first < 0 || i < first || start_ms < counted_ms
          ? 'unknown'
          : 'none';
    cells.push({
      start_s: start_ms / 1000,
      look,
      share: heard > 0 ? samples[i] / heard : 0,
      day: Math.floor(clock_ms / day_ms) - firstDay,
      hour: new Date(clock_ms).getUTCHours(),
    });
  }
  const days = cells.length === 0 ? 0 : cells[cells.length - 1].day + 1;
  return { cells, days: Array.from({ length: days }, (_, day) => (firstDay + day) * day_ms) };
}

export interface DayCell {
  day_ms: number;
  look: HourLook;
  share: number;
}

/** The same by days: a day is a part where any hour of it is, and its share is the mean of its hours. */
export function dayCells(cells: readonly HourCell[], days: readonly number[]): DayCell[] {
  return days.map((start, day) => {
    const own = cells.filter((cell) => cell.day === day && cell.look !== 'unknown');
    if (own.length === 0) return { day_ms: start, look: 'unknown' as const, share: 0 };
    const share = own.reduce((sum, cell) => sum + cell.share, 0) / own.length;
    const all = own.every(({ look }) => look === 'all');
    return { day_ms: start, look: all ? 'all' : share === 0 ? 'none' : 'part', share };
  });
}

/** What a calendar shows in a sentence, for people who cannot see it. */
export function calendarSays(cells: readonly HourCell[]): string {
  const of = (look: HourLook) => cells.filter((cell) => cell.look === look).length;
  const hours = cells.length - of('unknown');
  if (hours === 0) return 'Nothing was counted in these four weeks.';
  return `Of ${hours} hours ${of('all')} are complete, ${of('part')} lack samples and in ${of('none')} nothing came.`;
}
