import { beforeAll, describe, expect, it } from 'vitest';
import { reportOf } from './report.js';
import { runScore, type Score } from './run-score.js';
import { foundOf, tallyHealthy, tallyOf } from './tally.js';

/**
 * A small pass of `npm run score` with a fixed seed: two units per fault at medium severity, of faults told by a unit's own
 * normal, by its loop and by its sensors. The bars are lower than what is aimed at by what four units can show.
 */
const faults = [
  'too much refrigerant',
  'refrigerant missing',
  'evaporator flow low',
  'compressor weak',
  'load swings',
  'valve too large',
  'suction thermometer reads wrong',
  'noisy measurement',
];

describe('a small pass of the score', () => {
  let score: Score;
  beforeAll(() => {
    score = runScore({
      seed: 20,
      first: 0,
      units: 2,
      healthy: 4,
      pairUnits: 0,
      slowUnits: 0,
      severities: ['medium'],
      only: (name) => faults.includes(name),
    });
  }, 600_000);

  it('says nothing above watch of units with nothing wrong', () => {
    expect(tallyHealthy(score.healthy, 21)).toMatchObject({ units: 4, aboveWatch: 0 });
  });

  it('finds at least 14 of 16 faults, and names at least 12 first', () => {
    const tally = tallyOf(score.rows.flatMap(({ results }) => results));
    expect(tally.cases).toBe(16);
    expect(foundOf(tally), JSON.stringify(tally)).toBeGreaterThanOrEqual(14);
    expect(tally.correct, JSON.stringify(tally)).toBeGreaterThanOrEqual(12);
  });

  it('is written as a page that says what was run', () => {
    const page = reportOf(score, '2026-11-27');
    for (const name of faults) expect(page).toContain(`| ${name} | medium | 2 |`);
    expect(page).toContain('seed 20:');
    expect(page).not.toMatch(/NaN|undefined/);
  });
});
