/**
 * Clock times at a place. A technician reads a chart beside the site's own clock, so times of a unit are shown in the
 * zone of its site (IANA name), whatever the reader's zone. Null stands for the reader's own zone.
 */
export type Zone = string | null;

const readers = new Map<string, Intl.DateTimeFormat>();
const offsets = new Map<string, number>();

function reader(zone: string): Intl.DateTimeFormat {
  let made = readers.get(zone);
  if (!made) {
    const parts = { year: 'numeric', month: 'numeric', day: 'numeric', hour: 'numeric', minute: 'numeric' };
    made = new Intl.DateTimeFormat('en-US', {
      ...(parts as Intl.DateTimeFormatOptions),
      hourCycle: 'h23',
      timeZone: zone,
    });
    readers.set(zone, made);
  }
  return made;
}

/** Zones change their offset on the quarter of an hour at the finest. */
const quarter_ms = 900_000;

/** What has to be added to an instant (ms since 1970, UTC) to read the zone's clock from its UTC fields, ms. */
export function zoneOffset_ms(epoch_ms: number, zone: Zone): number {
  if (zone === null) return -60_000 * new Date(epoch_ms).getTimezoneOffset();
  const start = Math.floor(epoch_ms / quarter_ms) * quarter_ms;
  const key = `${zone} ${start}`;
  const kept = offsets.get(key);
  if (kept !== undefined) return kept;
  const part: Record<string, number> = {};
  for (const { type, value } of reader(zone).formatToParts(start)) part[type] = Number(value);
  const clock = Date.UTC(part.year, part.month - 1, part.day, part.hour, part.minute);
  const offset = clock - start;
  if (offsets.size > 20_000) offsets.clear();
  offsets.set(key, offset);
  return offset;
}

/** An instant as the zone's clock shows it, written as if the clock were UTC: what a chart in UTC then labels rightly. */
export const clockOf_ms = (epoch_ms: number, zone: Zone): number => epoch_ms + zoneOffset_ms(epoch_ms, zone);

/** The instant at which the zone's clock shows this; of an hour that comes twice in autumn, the later one. */
export function instantOf_ms(clock_ms: number, zone: Zone): number {
  const guess = clock_ms - zoneOffset_ms(clock_ms, zone);
  return clock_ms - zoneOffset_ms(guess, zone);
}

// Written out, as a formatter of the browser takes longer to make than the first screen to draw.
const days = 'Sunday Monday Tuesday Wednesday Thursday Friday Saturday'.split(' ');
const months = 'January February March April May June July August September October November December'.split(
  ' ',
);
const longDay = (clock: Date) => days[clock.getUTCDay()];
const shortDay = (clock: Date) => longDay(clock).slice(0, 3);
const longMonth = (clock: Date) => months[clock.getUTCMonth()];
const shortMonth = (clock: Date) => longMonth(clock).slice(0, 3);
const two = (value: number) => String(value).padStart(2, '0');

export type ClockPattern =
  'full' | 'minute' | 'second' | 'time' | 'second-of-day' | 'day' | 'short-day' | 'chart';

/** A clock time (from `clockOf_ms`) as words. */
export function clockWords(clock_ms: number, pattern: ClockPattern): string {
  const date = new Date(clock_ms);
  const number = date.getUTCDate();
  const time = `${two(date.getUTCHours())}:${two(date.getUTCMinutes())}`;
  const seconds = `${time}:${two(date.getUTCSeconds())}`;
  const short = `${number} ${shortMonth(date)}`;
  switch (pattern) {
    case 'full':
      return `${longDay(date)} ${number} ${longMonth(date)} ${date.getUTCFullYear()}, ${time}`;
    case 'minute':
      return `${shortDay(date)} ${short}, ${time}`;
    case 'second':
      return `${shortDay(date)} ${short}, ${seconds}`;
    case 'chart':
      return `${short} ${time}`;
    case 'time':
      return time;
    case 'second-of-day':
      return seconds;
    case 'day':
      return `${short} ${date.getUTCFullYear()}`;
    case 'short-day':
      return short;
  }
}

export const timeWords = (epoch_ms: number, zone: Zone, pattern: ClockPattern): string =>
  clockWords(clockOf_ms(epoch_ms, zone), pattern);

/** An instant as `datetime-local` takes it, by the reader's own clock. */
export const inputTime = (epoch_ms: number): string =>
  new Date(clockOf_ms(epoch_ms, null)).toISOString().slice(0, 16);
