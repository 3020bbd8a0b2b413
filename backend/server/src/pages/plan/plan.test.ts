import { describe, expect, it } from 'vitest';
import { calendarFile } from './calendar-file.js';
import { planOf, type HandedOver } from './day-plan.js';

const harbour = { key: 'harbour', name: 'Harbour House', timeZone: 'Europe/Lisbon' };
const museum = { key: 'museum', name: 'Museum', timeZone: 'Pacific/Auckland' };

const handed = (
  finding: string,
  site: typeof harbour,
  unit: string,
  due: string,
  reason: string | null = null,
): HandedOver<typeof harbour> => ({
  ...{ finding, site, due, reason, unit: { key: unit, name: `Chiller ${unit}` } },
  headline: {
    text: 'Superheat swings by {size}; bring, if there is one; a gauge.',
    quantities: { size: { kind: 'temperature-difference', value: 3.21 } },
  },
  ...{ subject: { kind: 'circuit', circuit: 1 }, urgency: 'today', overdue: false, by: 'A manager' },
});

const work = [
  handed('3', museum, 'b', '2026-12-05'),
  handed('1', harbour, 'b', '2026-12-03'),
  handed('2', harbour, 'a', '2026-12-01', 'Key at the desk'),
  handed('4', harbour, 'b', '2026-12-01'),
];

describe('a plan', () => {
  it('is by site and unit, the earliest due first, with what else is due there', () => {
    const also = {
      unit: { key: 'c', name: 'Chiller c' },
      headline: { text: 'It starves.', quantities: {} },
      ...{ urgency: 'this-week' as const, assignee: null },
    };
    const plan = planOf(work, new Map([['harbour', [also]]]));
    expect(plan.map(({ site, due }) => [site.key, due])).toEqual([
      ['harbour', '2026-12-01'],
      ['museum', '2026-12-05'],
    ]);
    expect(
      plan[0].units.map(({ unit, findings }) => [unit.key, findings.map(({ finding }) => finding)]),
    ).toEqual([
      ['a', ['2']],
      ['b', ['4', '1']],
    ]);
    expect(plan[0].alsoDue).toEqual([also]);
    expect(plan[1].alsoDue).toEqual([]);
  });
});

/** Lines of a calendar, those that were folded put together again (RFC 5545, 3.1). */
const linesOf = (file: string) => file.replace(/\r\n[ \t]/g, '').split('\r\n');

describe('a calendar of a plan', () => {
  const file = calendarFile({
    ...{ personId: 7, personName: 'A technician', address: 'https://chillers.example' },
    sites: planOf(work, new Map()),
  });
  const lines = linesOf(file);

  it('is iCalendar with an entry for each site and day, of whole days without a zone', () => {
    // RFC 5545: 3.4 (the object), 3.6.1 (DTSTART as DATE; without DTEND or with it on the next day), 3.8.4.7 (UID).
    expect(lines[0]).toBe('BEGIN:VCALENDAR');
    expect(lines).toContain('VERSION:2.0');
    expect(lines.filter((line) => line === 'BEGIN:VEVENT')).toHaveLength(3);
    const starts = lines.filter((line) => line.startsWith('DTSTART'));
    expect(starts).toEqual([
      'DTSTART;VALUE=DATE:20261201',
      'DTSTART;VALUE=DATE:20261203',
      'DTSTART;VALUE=DATE:20261205',
    ]);
    const ids = lines.filter((line) => line.startsWith('UID:'));
    expect(new Set(ids).size).toBe(3);
    expect(ids[0]).toBe('UID:visit-7-harbour-2026-12-01@coldrounds');
    for (const line of file.split('\r\n')) expect(Buffer.byteLength(line)).toBeLessThanOrEqual(75);
  });

  it('says where, what, with commas and semicolons escaped, and to mind the cautions', () => {
    expect(lines).toContain('SUMMARY:Visit Harbour House: 2 findings');
    expect(lines).toContain('LOCATION:Harbour House');
    const [first] = lines.filter((line) => line.startsWith('DESCRIPTION'));
    // RFC 5545, 3.3.11: in TEXT a comma and a semicolon are written with a backslash, a new line as \n.
    expect(first).toContain(
      'Superheat swings by 3.2 K\\; bring\\, if there is one\\; a gauge. (Key at the desk)\\n',
    );
    expect(first).toContain('(Europe/Lisbon)');
    expect(first).toContain('licensed practice');
    expect(first).toContain('https://chillers.example/units/harbour/a');
  });
});
