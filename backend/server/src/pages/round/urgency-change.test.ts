import { describe, expect, it } from 'vitest';
import { changeOf } from './urgency-change.js';

const [today, thisWeek, nextVisit, watch, nothing] = [0, 1, 2, 3, 4];

describe('a change of the round', () => {
  it('is new where somebody is asked for the first time, and gone where nobody is any more', () => {
    expect(changeOf(nothing, today)).toBe('new');
    expect(changeOf(watch, nextVisit)).toBe('new');
    expect(changeOf(thisWeek, nothing)).toBe('gone');
    expect(changeOf(today, watch)).toBe('gone');
  });
  it('is worse or better by urgency', () => {
    expect(changeOf(nextVisit, thisWeek)).toBe('worse');
    expect(changeOf(today, nextVisit)).toBe('better');
  });
  it('is none where the urgency is the same or nothing is asked of anyone', () => {
    expect(changeOf(today, today)).toBeNull();
    expect(changeOf(nothing, watch)).toBeNull();
    expect(changeOf(watch, nothing)).toBeNull();
  });
});
