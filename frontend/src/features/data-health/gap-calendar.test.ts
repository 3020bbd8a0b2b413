import { describe, expect, it } from 'vitest';
import { calendarSays, dayCells, hourCells } from './gap-calendar.js';

const hours = 72;
const from = '2026-05-01T00:00:00Z';
const end_ms = Date.parse(from) + hours * 3_600_000;
const calendar = (of: (hour: number) => [samples: number, missing: number]) => {
  const both = Array.from({ length: hours }, (_, hour) => of(hour));
  return { samples: both.map(([samples]) => samples), missing: both.map(([, missing]) => missing) };
};

describe('a calendar of gaps', () => {
  const seen = hourCells(
    {
      calendar: calendar((hour) =>
        hour < 20
          ? [0, 0]
          : hour < 30
            ? [360, 0]
            : hour < 40
              ? [90, 270]
              : hour < 44
                ? [0, 360]
                : hour < 60
                  ? [360, 0]
                  : [0, 0],
      ),
      from,
      countedSince: '2026-04-01T00:00:00Z',
      now_ms: end_ms - 1,
    },
    'UTC',
  );

  it('tells what is not known yet, what came, what came in part, and silence', () => {
    const looks = seen.cells.map(({ look }) => look);
    // The running hour is left out.
    expect(looks).toHaveLength(71);
    expect([19, 20, 30, 40, 44, 60, 70].map((hour) => looks[hour])).toEqual([
      'unknown',
      'all',
      'part',
      'none',
      'all',
      'none',
      'none',
    ]);
    expect(seen.cells[35].share).toBe(0.25);
    expect(calendarSays(seen.cells)).toBe(
      'Of 51 hours 26 are complete, 10 lack samples and in 15 nothing came.',
    );
  });

  it('is by the clock of the site, and by days', () => {
    const days = dayCells(seen.cells, seen.days);
    expect(days.map(({ look }) => look)).toEqual(['all', 'part', 'part']);
    const inTokyo = hourCells(
      { calendar: calendar(() => [360, 0]), from, countedSince: from, now_ms: end_ms },
      'Asia/Tokyo',
    );
    // Nine hours ahead: the first hour is 9 h of the first of four days.
    expect(inTokyo.cells[0]).toMatchObject({ day: 0, hour: 9 });
    expect(inTokyo.days).toHaveLength(4);
  });

  it('knows nothing of hours before anything was counted', () => {
    const { cells } = hourCells(
      {
        calendar: calendar((hour) => (hour === 10 || hour === 50 ? [1, 0] : [0, 0])),
        from,
        countedSince: '2026-05-02T00:00:00Z',
        now_ms: end_ms,
      },
      'UTC',
    );
    expect([10, 11, 23, 24, 50].map((hour) => cells[hour].look)).toEqual([
      'all',
      'unknown',
      'unknown',
      'none',
      'all',
    ]);
    expect(calendarSays([])).toContain('Nothing was counted');
  });
});
