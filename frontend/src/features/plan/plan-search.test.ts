import { describe, expect, it } from 'vitest';
import { lastDayOf, readPlanSearch } from './plan-search.js';

describe('what of a plan is shown', () => {
  it('is read from the address, and what is no choice is left out', () => {
    expect(readPlanSearch({ person: '7', span: 'week' })).toEqual({ person: 7, span: 'week' });
    expect(readPlanSearch({ person: 'x', span: 'year' })).toEqual({});
    expect(readPlanSearch({ person: -1 })).toEqual({});
  });

  it('ends today, a week from today, or never', () => {
    const noon = new Date(2026, 10, 28, 12);
    expect(lastDayOf(undefined, noon)).toBe('2026-11-28');
    expect(lastDayOf('week', noon)).toBe('2026-12-05');
    expect(lastDayOf('all', noon)).toBeUndefined();
  });
});
