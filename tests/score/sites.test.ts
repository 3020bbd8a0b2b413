import { describe, expect, it } from 'vitest';
import { siteHabits } from './site-habits.js';
import { inLine, scoreHabit } from './sites.js';

/** A short pass with a fixed seed; `npm run score -- sites` runs all units, over seven days and with a fresh seed. */
const short = { seed: 6100, units: 1, faulty: 0, days: 3 };

describe('a healthy unit', () => {
  it.each(siteHabits)('gives no finding with $name', (habit) => {
    const score = scoreHabit(habit, short);
    expect(score.falseFindings, inLine(score)).toEqual([]);
    expect(score.watched).toBe(0);
  });
});
