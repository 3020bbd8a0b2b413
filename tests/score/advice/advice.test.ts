import { describe, expect, it } from 'vitest';
import { testUnit } from '../faults/test-fleet.js';
import { followAdvice, type Followed, type Trouble } from './follow-advice.js';
import { adviceReport, settlesWithin, tallyOf } from './report.js';

/** A small pass of `npm run score -- advice` with a fixed seed; the sweep over all kinds of units is its own run. */
const seed = 20;
const run = (trouble: Trouble, units: readonly number[], runs = 0): Followed[] =>
  units.map((i) => followAdvice(trouble, testUnit(seed, i), 'medium', { days: 2, runs }));

describe('advice that is followed in the simulator', () => {
  it('ends the hunting of a loop tuned too hard, which then settles within twice the time of the best tuning', () => {
    const results = run('loop tuned too hard', [0], 4);
    for (const { advised, ended, left, settling } of results) {
      expect({ advised, ended, left }).toEqual({ advised: true, ended: true, left: [] });
      expect(settling!.advised_s).toBeLessThanOrEqual(settlesWithin * settling!.best_s);
    }
    const page = adviceReport(
      { seed, days: 2, rows: [{ trouble: 'loop tuned too hard', results }] },
      '2026-11-28',
    );
    expect(page).toContain('| loop tuned too hard | 1 | 1 | 1 | 1 | 1 | 100 % |');
    expect(page).not.toMatch(/NaN|undefined/);
  });

  it('ends the trouble of a setpoint under the steady floor', () => {
    const results = run('setpoint under the steady floor', [0]);
    expect(tallyOf(results)).toMatchObject({ troubled: 1, named: 1, advised: 1, ended: 1 });
  });
});
