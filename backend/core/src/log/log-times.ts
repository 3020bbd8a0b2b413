import { SeriesError } from '../signals/series-error.js';
import { tidyHeader } from './log-headers.js';
import { decimalMarkOf, readNumber, type Cell } from './log-numbers.js';

/** Order of day and month where a log writes both as numbers: `dmy` 27/11/2026, `mdy` 11/27/2026. */
export type DateOrder = 'dmy' | 'mdy';

/** A date as it was written: the year, and two numbers whose order may be open. */
interface WrittenDate {
  year: number;
  /** Both numbers as they stand, or `[month, day]` where the form leaves no doubt. */
  first: number;
  second: number;
  order: 'open' | DateOrder;
}

const monthNames = Array.from({ length: 12 }, (_, month) =>
  new Intl.DateTimeFormat('en', { month: 'short', timeZone: 'UTC' })
    .format(new Date(Date.UTC(2000, month, 1)))
    .toLowerCase(),
);
const monthOf = (name: string): number => monthNames.indexOf(name.slice(0, 3).toLowerCase()) + 1;
/** Two digits are years from 1970 to 2069, as POSIX has it to within a year (strptime, %y: 69 to 99 are the 1900s). */
const fullYear = (digits: string): number =>
  digits.length > 2 ? Number(digits) : Number(digits) + (Number(digits) < 70 ? 2000 : 1900);

const yearFirst = /^(\d{4})([-/.])(\d{1,2})\2(\d{1,2})/;
const compact = /^(\d{4})(\d\d)(\d\d)(?=$|[T\s_-])/;
const yearLast = /^(\d{1,2})([-/.])(\d{1,2})\2(\d{4}|\d\d)(?!\d)/;
const dayNameYear = /^(\d{1,2})[\s./-]*([A-Za-z]{3,9})[\s.,/-]*(\d{4}|\d\d)(?!\d)/;
const nameDayYear = /^([A-Za-z]{3,9})\.?\s*(\d{1,2})(?:st|nd|rd|th)?,?\s+(\d{4})/;
const yearNameDay = /^(\d{4})[\s-]([A-Za-z]{3,9})[\s-](\d{1,2})/;
const weekday = /^(?:mon|tue|wed|thu|fri|sat|sun)[a-z]*[.,]?\s+/i;
const clock =
  /^(\d{1,2})[:.hH](\d{2})(?:[:.m](\d{2})(?:[.,:](\d{1,9}))?)?s?\s*([AaPp]\.?\s?[Mm]\.?)?\s*(Z|z|UTC|GMT|[+-]\d\d(?::?\d\d)?)?$/;
const packedClock = /^(\d\d)(\d\d)(\d\d)?(?:[.,](\d{1,9}))?(Z|z|[+-]\d\d(?::?\d\d)?)?$/;

/** The date at the start of a text, and what follows it; null where there is none. */
function dateAtStart(text: string): { date: WrittenDate; rest: string } | null {
  const plain = text.replace(weekday, '');
  const found = (match: RegExpExecArray, date: WrittenDate) => ({
    date,
    rest: plain.slice(match[0].length).replace(/^(?:[T\s_,-]|at )+/, ''),
  });
  let match = yearFirst.exec(plain);
  if (match)
    return found(match, {
      year: Number(match[1]),
      first: Number(match[3]),
      second: Number(match[4]),
      order: 'mdy',
    });
  match = compact.exec(plain);
  if (match)
    return found(match, {
      year: Number(match[1]),
      first: Number(match[2]),
      second: Number(match[3]),
      order: 'mdy',
    });
  match = yearLast.exec(plain);
  // Points between the numbers are written where the day comes first (common practice, no source).
  if (match)
    return found(match, {
      year: fullYear(match[4]),
      first: Number(match[1]),
      second: Number(match[3]),
      order: match[2] === '.' ? 'dmy' : 'open',
    });
  for (const [pattern, year, month, day] of [
    [dayNameYear, 3, 2, 1],
    [nameDayYear, 3, 1, 2],
    [yearNameDay, 1, 2, 3],
  ] as const) {
    match = pattern.exec(plain);
    if (match && monthOf(match[month]) > 0)
      return found(match, {
        year: fullYear(match[year]),
        first: monthOf(match[month]),
        second: Number(match[day]),
        order: 'mdy',
      });
  }
  return null;
}

/** Time of day with its zone, s; an empty text is midnight; null where it is no time. */
export function readClock(text: string): { ofDay_s: number; zone_s: number } | null {
  if (text === '') return { ofDay_s: 0, zone_s: 0 };
  const match = clock.exec(text);
  const packed = match === null ? packedClock.exec(text) : null;
  const [, h, m, s = '0', fraction = '0', ...last] = match ?? packed ?? [];
  if (h === undefined) return null;
  const [half, zone] = match ? last : [undefined, last[0]];
  let hours = Number(h);
  if (half !== undefined) {
    if (hours < 1 || hours > 12) return null;
    hours = (hours % 12) + (/^p/i.test(half) ? 12 : 0);
  }
  const [minutes, seconds] = [Number(m), Number(s)];
  // 24:00 is the end of the day (ISO 8601-1), 60 a leap second.
  if (hours > 24 || (hours === 24 && (minutes > 0 || seconds > 0)) || minutes > 59 || seconds > 60)
    return null;
  return { ofDay_s: hours * 3600 + minutes * 60 + seconds + Number(`0.${fraction}`), zone_s: zoneOf(zone) };
}

function zoneOf(zone: string | undefined): number {
  const match = /^([+-])(\d\d):?(\d\d)?$/.exec(zone ?? '');
  if (!match) return 0;
  return (match[1] === '-' ? -1 : 1) * (Number(match[2]) * 3600 + Number(match[3] ?? 0) * 60);
}

function midnight_s({ year, first, second, order }: WrittenDate, given: DateOrder): number {
  const [month, day] = (order === 'open' ? given : order) === 'mdy' ? [first, second] : [second, first];
  const at = new Date(Date.UTC(year, month - 1, day));
  // The calendar turns 31 April into 1 May; a log that says so is wrong.
  return at.getUTCMonth() === month - 1 && at.getUTCDate() === day ? at.getTime() / 1000 : NaN;
}

export interface LogTimes {
  time_s: Float64Array;
  /** The columns that the time was read from. */
  from: string[];
  /** The first text that is no time, of the rows without one. */
  unreadable: { rows: number; example: string } | null;
  /** Times without a zone were taken as UTC. */
  assumedUtc: boolean;
}

const timeHeader =
  /^(?:time|timestamp|datetime|date_time|date|epoch|unix|unix_time)(?:_(s|sec|seconds|min|ms|h))?$/;
const factors: Record<string, number> = { s: 1, sec: 1, seconds: 1, min: 60, ms: 1e-3, h: 3600 };

/**
 * When each row of a log was taken, s since 1970-01-01 UTC, or since the log's own beginning where it counts seconds.
 * Reads ISO 8601; day, month and year with points, strokes or slashes; names of months; AM and PM; date and time in one
 * column or two; seconds or milliseconds since 1970; days of a spreadsheet (since 1899-12-30; ECMA-376, 18.17.4.1). Rows
 * without a time are NaN.
 * `order` says which of two numbers is the day; without it the log itself must show it, by a number over 12.
 * @throws SeriesError where there is no column of times, where the order of day and month is open, and where dates
 * contradict the order.
 */
export function readLogTimes(table: Record<string, ArrayLike<number | string>>, order?: DateOrder): LogTimes {
  const found = Object.keys(table).filter((header) => timeHeader.test(tidyHeader(header)));
  if (found.length === 0)
    throw new SeriesError('time_s', `no time column among: ${Object.keys(table).join(', ') || 'nothing'}`);
  const date = found.find((header) => tidyHeader(header) === 'date');
  const ofDay =
    date === undefined ? undefined : found.find((header) => /^time(?:_s)?$/.test(tidyHeader(header)));
  if (date !== undefined && ofDay !== undefined) {
    const clocks = table[ofDay];
    const joined = Array.from(table[date], (cell, row) => joinCells(cell, clocks[row]));
    return { ...timesOf(date, joined, undefined, order), from: [date, ofDay] };
  }
  const [header] = found;
  return {
    ...timesOf(header, table[header], timeHeader.exec(tidyHeader(header))![1], order),
    from: [header],
  };
}

function joinCells(date: Cell, time: Cell): number | string {
  const [days, part] = [readNumber(date, '.'), readNumber(time, '.')];
  if (Number.isFinite(days) && Number.isFinite(part) && days < 1e5 && part < 1) return days + part;
  const day = withoutMidnight(String(date ?? ''));
  const clockText = Number.isFinite(part) && part < 1 ? clockOfDay(part) : String(time ?? '').trim();
  return clockText === '' ? '' : `${day} ${clockText}`;
}
/** A spreadsheet writes a date with the time 0:00 beside it. */
const withoutMidnight = (text: string): string =>
  text.trim().replace(/[T\s]+0?0[:.]00(?:[:.]00(?:\.0+)?)?Z?$/, '');
const clockOfDay = (part: number): string =>
  new Date(Math.round(part * 86_400_000)).toISOString().slice(11, 23);

function timesOf(
  header: string,
  cells: ArrayLike<number | string>,
  unit: string | undefined,
  order: DateOrder | undefined,
): Omit<LogTimes, 'from'> {
  const n = cells.length;
  const mark = decimalMarkOf([cells], '.');
  const numbers = Float64Array.from({ length: n }, (_, row) => readNumber(cells[row], mark));
  const factor = numbers.some((value) => Number.isFinite(value)) ? numberScale(numbers, unit) : null;
  const dates = Array.from({ length: n }, (_, row) =>
    Number.isFinite(numbers[row]) && !isCompact(cells[row])
      ? null
      : dateAtStart(String(cells[row] ?? '').trim()),
  );
  const which = dates.some((found) => found?.date.order === 'open')
    ? orderOf(header, dates, cells, order)
    : 'mdy';
  const time_s = new Float64Array(n).fill(NaN);
  let assumedUtc = false;
  const wrong: string[] = [];
  for (let row = 0; row < n; row++) {
    const found = dates[row];
    if (found) {
      const at = readClock(found.rest);
      time_s[row] = at === null ? NaN : midnight_s(found.date, which) + at.ofDay_s - at.zone_s;
      assumedUtc ||= !/(?:Z|z|UTC|GMT|[+-]\d\d(?::?\d\d)?)$/.test(found.rest);
    } else if (factor !== null) time_s[row] = factor(numbers[row]);
    if (Number.isNaN(time_s[row])) wrong.push(String(cells[row] ?? '').trim());
  }
  const example = wrong.find((text) => text !== '') ?? '';
  return { time_s, unreadable: wrong.length > 0 ? { rows: wrong.length, example } : null, assumedUtc };
}

/** 20261127 as digits is a day, not a count of seconds. */
const isCompact = (cell: Cell): boolean => /^(?:19|20)\d\d[01]\d[0-3]\d$/.test(String(cell ?? '').trim());

/** What a number in the time column counts, told by its size where the header does not say. */
function numberScale(values: Float64Array, unit: string | undefined): (value: number) => number {
  if (unit !== undefined) return (value) => value * factors[unit];
  const known = values.filter(Number.isFinite);
  const largest = known.reduce((most, value) => Math.max(most, value), -Infinity);
  const smallest = known.reduce((least, value) => Math.min(least, value), Infinity);
  // Seconds since 1970 pass 10^11 in the year 5138, milliseconds did so in 1973.
  if (smallest > 1e11) return (value) => value / 1000;
  const perRow = (largest - smallest) / Math.max(1, known.length - 1);
  // 30,000 to 80,000 are the days from 1982 to 2119. Seconds of an own origin do not stand closer than a third of one.
  if (
    smallest > 30_000 &&
    largest < 80_000 &&
    perRow < 0.3 &&
    known.some((value) => !Number.isInteger(value))
  )
    return (value) => Math.round((value - 25_569) * 86_400_000) / 1000;
  return (value) => value;
}

function orderOf(
  header: string,
  dates: readonly ({ date: WrittenDate } | null)[],
  cells: ArrayLike<number | string>,
  given: DateOrder | undefined,
): DateOrder {
  let [firstOver, secondOver] = [-1, -1];
  dates.forEach((found, row) => {
    if (found?.date.order !== 'open') return;
    if (found.date.first > 12) firstOver = row;
    if (found.date.second > 12) secondOver = row;
  });
  if (firstOver >= 0 && secondOver >= 0)
    throw new SeriesError(
      header,
      `"${cells[firstOver]}" has the day first, "${cells[secondOver]}" the month; write all dates in one order`,
    );
  const shown: DateOrder | undefined = firstOver >= 0 ? 'dmy' : secondOver >= 0 ? 'mdy' : undefined;
  if (given !== undefined && shown !== undefined && given !== shown)
    throw new SeriesError(
      header,
      `"${cells[Math.max(firstOver, secondOver)]}" cannot be read in the order ${given}`,
    );
  const settled = given ?? shown;
  if (settled === undefined) {
    const row = dates.findIndex((found) => found?.date.order === 'open');
    throw new SeriesError(
      header,
      `"${cells[row]}" may have the day or the month first; say which with --dates dmy or --dates mdy`,
    );
  }
  return settled;
}
