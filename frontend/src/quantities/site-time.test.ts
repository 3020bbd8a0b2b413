import { describe, expect, it } from 'vitest';
import { clockOf_ms, instantOf_ms, timeWords } from './site-time.js';

// PUBLISHED: the IANA time zone database. Adelaide is UTC+10:30 in November; Madrid left summer time on
// 25 October 2026 at 01:00 UTC; La Paz is UTC-4 all year.
const noon = Date.UTC(2026, 10, 25, 12);

describe('times at a site', () => {
  it('are those of its zone, also where that is not whole hours from UTC', () => {
    expect(timeWords(noon, 'Australia/Adelaide', 'minute')).toBe('Wed 25 Nov, 22:30');
    expect(timeWords(noon, 'America/La_Paz', 'full')).toBe('Wednesday 25 November 2026, 08:00');
    expect(timeWords(noon, 'Asia/Singapore', 'second')).toBe('Wed 25 Nov, 20:00:00');
  });
  it('name each day and month in full or by three letters', () => {
    // 1 September 2026 is a Tuesday (ISO 8601 week 36, day 2).
    const day = Date.UTC(2026, 8, 1, 6, 5);
    expect(timeWords(day, 'UTC', 'full')).toBe('Tuesday 1 September 2026, 06:05');
    expect(timeWords(day, 'UTC', 'minute')).toBe('Tue 1 Sep, 06:05');
    expect(timeWords(day, 'UTC', 'day')).toBe('1 Sep 2026');
  });
  it('follow summer time to the minute of its change', () => {
    const change = Date.UTC(2026, 9, 25, 1);
    expect(timeWords(change - 60_000, 'Europe/Madrid', 'time')).toBe('02:59');
    expect(timeWords(change, 'Europe/Madrid', 'time')).toBe('02:00');
  });
  it('go back to the instant that they came from', () => {
    for (const zone of ['Australia/Adelaide', 'America/Denver', 'Europe/Stockholm', null])
      for (let day = 0; day < 366; day += 1) {
        const instant = noon + day * 86_400_000;
        expect(instantOf_ms(clockOf_ms(instant, zone), zone)).toBe(instant);
      }
  });
});
