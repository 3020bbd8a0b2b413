import { describe, expect, it } from 'vitest';
import { sinceInstant } from './since.js';

const now_ms = Date.parse('2026-05-10T09:30:42Z');

describe('the moment to compare with', () => {
  it('is that of the choice, to the minute', () => {
    expect(sinceInstant('yesterday', null, now_ms)).toBe('2026-05-09T09:30:00.000Z');
    expect(sinceInstant('week', null, now_ms)).toBe('2026-05-03T09:30:00.000Z');
    expect(sinceInstant('look', Date.parse('2026-05-10T06:00:30Z'), now_ms)).toBe('2026-05-10T06:00:00.000Z');
    expect(sinceInstant('2026-04-01T00:00:00Z', null, now_ms)).toBe('2026-04-01T00:00:00.000Z');
  });
  it('is yesterday where there was no look yet or the date is none, and never in the future', () => {
    expect(sinceInstant('look', null, now_ms)).toBe('2026-05-09T09:30:00.000Z');
    expect(sinceInstant('no date', null, now_ms)).toBe('2026-05-09T09:30:00.000Z');
    expect(sinceInstant('2027-01-01T00:00:00Z', null, now_ms)).toBe('2026-05-10T09:30:00.000Z');
  });
});
