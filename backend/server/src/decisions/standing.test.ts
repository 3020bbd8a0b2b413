import { describe, expect, it } from 'vitest';
import { afterVisit, watched_s } from './after-visit.js';
import { isDeferred, standingOf, type PlanState } from './standing.js';

const day_s = 86_400;
const now_s = 1_900_000_000;
const plan = (given: Partial<PlanState>): PlanState => ({
  ...{ version: 1, kind: 'put-off', urgency: 'this-week', due_s: now_s + day_s, decided_s: now_s - day_s },
  ...given,
});

describe('where a finding stands', () => {
  it('is open before anybody decided', () => {
    expect(standingOf(null, 'today', now_s)).toEqual({ kind: 'open', back: null, overdue: false });
  });

  it('after putting it off: away until its day, back on it', () => {
    expect(isDeferred(standingOf(plan({}), 'this-week', now_s))).toBe(true);
    const back = standingOf(plan({}), 'this-week', now_s + day_s);
    expect(back.back).toBe('date');
    expect(isDeferred(back)).toBe(false);
  });

  it('after putting it off: back at once when it becomes more urgent, not when less', () => {
    expect(standingOf(plan({}), 'today', now_s).back).toBe('urgency');
    expect(standingOf(plan({}), 'next-visit', now_s).back).toBeNull();
  });

  it('after putting it off without a day: away until it becomes more urgent', () => {
    const forever = plan({ due_s: null });
    expect(isDeferred(standingOf(forever, 'this-week', now_s + 400 * day_s))).toBe(true);
    expect(standingOf(forever, 'today', now_s).back).toBe('urgency');
  });

  it('after accepting it: back at its review and when it becomes more urgent', () => {
    const accepted = plan({ kind: 'accept' });
    expect(isDeferred(standingOf(accepted, 'this-week', now_s))).toBe(true);
    expect(standingOf(accepted, 'this-week', now_s + day_s).back).toBe('date');
    expect(standingOf(accepted, 'today', now_s).back).toBe('urgency');
  });

  it('after handing it over: with somebody, overdue after its day, never away', () => {
    const given = plan({ kind: 'hand-over' });
    expect(standingOf(given, 'today', now_s)).toEqual({ kind: 'handed-over', back: null, overdue: false });
    expect(standingOf(given, 'today', now_s + day_s).overdue).toBe(true);
    expect(isDeferred(standingOf(given, 'this-week', now_s))).toBe(false);
  });

  it('after a visit: away while it is watched, back where it is unchanged', () => {
    const closed = plan({ kind: 'close', due_s: null });
    expect(isDeferred(standingOf(closed, 'this-week', now_s, { kind: 'watching' }))).toBe(true);
    expect(standingOf(closed, 'this-week', now_s, { kind: 'unchanged', since_s: 0 }).back).toBe('unchanged');
  });
});

describe('after a visit', () => {
  const closed = { closed_s: now_s, ended_s: null, lastSeen_s: now_s - 60, foundAgain_s: null };
  it('a finding is watched until telemetry can tell', () => {
    expect(afterVisit(closed)).toEqual({ kind: 'watching' });
    expect(afterVisit({ ...closed, lastSeen_s: now_s + watched_s - 1 })).toEqual({ kind: 'watching' });
  });
  it('it is unchanged where it is still seen after that', () => {
    expect(afterVisit({ ...closed, lastSeen_s: now_s + watched_s }).kind).toBe('unchanged');
  });
  it('it is gone since it ended, at the earliest since the visit', () => {
    expect(afterVisit({ ...closed, ended_s: now_s + day_s })).toEqual({
      kind: 'gone',
      since_s: now_s + day_s,
    });
    expect(afterVisit({ ...closed, ended_s: now_s - day_s })).toEqual({ kind: 'gone', since_s: now_s });
  });
  it('it came back where the same was found again', () => {
    expect(afterVisit({ ...closed, ended_s: now_s + day_s, foundAgain_s: now_s + 9 * day_s })).toEqual({
      kind: 'came-back',
      after_s: 9 * day_s,
    });
  });
});
