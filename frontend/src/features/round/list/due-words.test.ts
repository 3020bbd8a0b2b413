import { expect, it } from 'vitest';
import { dueWords } from './due-words.js';

it('says what is due at a place, the soonest first, and leaves out what is not', () => {
  expect(dueWords({ today: 1, thisWeek: 0, nextVisit: 3 })).toBe('1 unit today, 3 at the next visit');
  expect(dueWords({ today: 0, thisWeek: 2, nextVisit: 1 })).toBe('2 units this week, 1 at the next visit');
});
