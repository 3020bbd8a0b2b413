import { describe, expect, it } from 'vitest';
import { readClock, readLogTimes, type DateOrder } from './log-times.js';

const read = (table: Record<string, (number | string)[]>, order?: DateOrder) => readLogTimes(table, order);
const at = (year: number, month: number, day: number, h = 0, m = 0, s = 0) =>
  Date.UTC(year, month - 1, day, h, m, s) / 1000;

/** 27 November 2026, 14:05:30 UTC, as loggers and spreadsheets of the world write it (common practice, no source). */
const oneMoment: string[] = [
  '2026-11-27T14:05:30Z',
  '2026-11-27T14:05:30.000Z',
  '2026-11-27T14:05:30+00:00',
  '2026-11-27T15:05:30+01:00',
  '2026-11-27T15:05:30+0100',
  '2026-11-27T08:05:30-06:00',
  '2026-11-27T19:35:30+05:30',
  '2026-11-27 14:05:30',
  '2026-11-27 14:05:30.0',
  '2026-11-27 14:05:30,000',
  '2026-11-27 14:05:30 UTC',
  '2026-11-27 14:05:30 GMT',
  '2026-11-27 15:05:30 +01:00',
  '2026-11-27 02:05:30 PM',
  '2026-11-27_14:05:30',
  '2026/11/27 14:05:30',
  '2026/11/27 2:05:30 PM',
  '2026.11.27 14:05:30',
  '20261127T140530',
  '20261127T140530Z',
  '20261127 140530',
  '20261127 14:05:30',
  '27.11.2026 14:05:30',
  '27.11.2026 14:05:30,000',
  '27.11.2026, 14:05:30',
  '27.11.26 14:05:30',
  '27.11.2026 14.05.30',
  '27/11/2026 14:05:30',
  '27/11/2026 02:05:30 PM',
  '27/11/2026 2:05:30 pm',
  '27/11/26 14:05:30',
  '27/11/2026T14:05:30',
  '27/11/2026 14h05m30s',
  '27-11-2026 14:05:30',
  '27-11-26 14:05:30',
  '27-Nov-2026 14:05:30',
  '27-Nov-26 14:05:30',
  '27-NOV-2026 14:05:30',
  '27 Nov 2026 14:05:30',
  '27 November 2026 14:05:30',
  '27. Nov 2026 14:05:30',
  '27Nov2026 14:05:30',
  '27/Nov/2026 14:05:30',
  'Fri 27 Nov 2026 14:05:30',
  'Fri, 27 Nov 2026 14:05:30 GMT',
  'Friday, November 27, 2026 2:05:30 PM',
  'Nov 27, 2026 14:05:30',
  'Nov 27, 2026, 2:05:30 PM',
  'Nov 27 2026 14:05:30',
  'November 27, 2026 at 2:05:30 PM',
  'November 27th, 2026 14:05:30',
  '2026-Nov-27 14:05:30',
  '11/27/2026 14:05:30',
  '11/27/2026 2:05:30 PM',
  '11/27/2026 02:05:30 PM',
  '11/27/2026 2:05:30 P.M.',
  '11/27/2026 2:05:30PM',
  '11/27/26 14:05:30',
  '11/27/26 2:05:30 PM',
  '11-27-2026 14:05:30',
  '11-27-2026 2:05:30 PM',
  '11/27/2026, 2:05:30 PM',
  '11/27/2026 14:05:30.0',
];

describe('a time of a log', () => {
  it.each(oneMoment)('%s is 27 November 2026, 14:05:30', (text) => {
    expect(read({ time: [text] })).toMatchObject({
      time_s: Float64Array.of(at(2026, 11, 27, 14, 5, 30)),
      unreadable: null,
    });
  });

  it.each([
    ['12:00 AM', 0],
    ['12:30 PM', 45_000],
    ['12:00:01 a.m.', 1],
    ['24:00', 86_400],
    ['0:07', 420],
    ['', 0],
    ['143005', 52_205],
    ['14:30:05.250', 52_205.25],
  ])('of day %s is %d s after midnight', (text, ofDay_s) => {
    expect(readClock(text)).toEqual({ ofDay_s, zone_s: 0 });
  });

  it.each(['13:00 PM', '25:00', '24:01', '14:61', 'noon', '12', '0:00 AM'])('%s is none', (text) => {
    expect(readClock(text)).toBeNull();
  });

  it.each([
    '2026-02-29 00:00',
    '2026-13-01 00:00',
    '31/04/2026 10:00',
    '31.11.2026',
    'yesterday',
    '14:05:30',
    'Fri',
    '27 Nuv 2026',
  ])('"%s" cannot be read, and is given as the example', (text) => {
    const { time_s, unreadable } = read({ time: ['2026-11-27 14:00:00', text] });
    expect(time_s[1]).toBeNaN();
    expect(unreadable).toEqual({ rows: 1, example: text });
  });
});

describe('day and month as two numbers', () => {
  it('are read in the order that a number over 12 shows anywhere in the log', () => {
    expect([...read({ time: ['02/03/2026 10:00', '13/03/2026 10:00'] }).time_s]).toEqual([
      at(2026, 3, 2, 10),
      at(2026, 3, 13, 10),
    ]);
    expect([...read({ time: ['02/03/2026 10:00', '02/13/2026 10:00'] }).time_s]).toEqual([
      at(2026, 2, 3, 10),
      at(2026, 2, 13, 10),
    ]);
  });

  it('are asked for where both can be either, also beside AM and PM', () => {
    expect(() => read({ time: ['02/03/2026 10:00 AM'] })).toThrow(/--dates dmy or --dates mdy/);
    expect([...read({ time: ['02/03/2026 10:00 AM'] }, 'dmy').time_s]).toEqual([at(2026, 3, 2, 10)]);
    expect([...read({ time: ['02/03/2026 10:00 AM'] }, 'mdy').time_s]).toEqual([at(2026, 2, 3, 10)]);
  });

  it('are refused where the log contradicts itself or the order that was given', () => {
    expect(() => read({ time: ['13/02/2026', '02/13/2026'] })).toThrow(/day first.*the month/);
    expect(() => read({ time: ['13/02/2026'] }, 'mdy')).toThrow(/cannot be read in the order mdy/);
  });
});

describe('columns of times', () => {
  const moment = at(2026, 11, 27, 14, 5, 30);
  it.each<[string, Record<string, (number | string)[]>]>([
    ['date and time in two columns', { Date: ['27.11.2026'], Time: ['14:05:30'] }],
    ['US date and 12 hour time in two', { Date: ['11/27/2026'], Time: ['2:05:30 PM'] }],
    ['ISO date and time in two', { date: ['2026-11-27'], time: ['14:05:30'] }],
    ['a date with a midnight beside it', { Date: ['27/11/2026 00:00:00'], Time: ['14:05:30'] }],
    ['seconds since 1970', { time: [moment] }],
    ['seconds since 1970 as text', { epoch: [String(moment)] }],
    ['seconds since 1970 by a header', { unix_time: [moment] }],
    ['milliseconds since 1970', { timestamp: [moment * 1000] }],
    ['milliseconds by the header', { time_ms: [moment * 1000] }],
  ])('may be %s', (_, table) => {
    expect([...read(table).time_s]).toEqual([moment]);
  });

  it('may be days of a spreadsheet: 46,353.587 is 27 November 2026, 14:05:30', () => {
    // 46,353 days after 1899-12-30 is 2026-11-27; 0.587152777... of a day is 14:05:30.
    const serial = 46_353 + 50_730 / 86_400;
    const ten = 10 / 86_400;
    expect([...read({ Timestamp: [serial, serial + ten] }).time_s]).toEqual([moment, moment + 10]);
    expect([...read({ Date: [46_353, 46_353], Time: [50_730 / 86_400, 50_740 / 86_400] }).time_s]).toEqual([
      moment,
      moment + 10,
    ]);
  });

  it('that count seconds of their own stay as they are, also far from zero', () => {
    expect([...read({ time: [40_000, 40_010, 40_020] }).time_s]).toEqual([40_000, 40_010, 40_020]);
    expect([...read({ time_min: [0.5, 1] }).time_s]).toEqual([30, 60]);
  });

  it('say whether a zone was named', () => {
    expect(read({ time: ['2026-11-27 14:05:30'] }).assumedUtc).toBe(true);
    expect(read({ time: ['2026-11-27T14:05:30Z'] }).assumedUtc).toBe(false);
    expect(read({ time_s: [0] }).assumedUtc).toBe(false);
  });
});
