import { describe, expect, it } from 'vitest';
import { normalDraws, seededRandom } from '../../numerics/index.js';
import { slowDeparture, slowLimit, valuesBetweenAlarms } from './slow-departure.js';

const gauss = normalDraws(seededRandom(5));

/** Values until the limit of 5 is passed, on average over many runs. */
function averageRun(shift: number, runs: number, longest: number): number {
  let total = 0;
  for (let k = 0; k < runs; k++) {
    const z = Array.from({ length: longest }, () => shift + gauss());
    total += (slowDeparture(z, 5)?.passed ?? longest) + 1;
  }
  return total / runs;
}

// Average run lengths of a cumulative sum with allowance 1/2 and limit 5, two-sided: 465, 38.0, 10.4, 4.01 at shifts of
// 0, 0.5, 1 and 2 standard deviations (Montgomery, Introduction to Statistical Quality Control; from memory).
describe('a slow departure', () => {
  it('is alarmed falsely once in 465 normal values', () => {
    const run = averageRun(0, 400, 4000);
    expect(run).toBeGreaterThan(410);
    expect(run).toBeLessThan(525);
  });

  it.each([
    [0.5, 38],
    [1, 10.4],
    [2, 4.01],
  ])('of %s standard deviations is found after %s values on average', (shift, expected) => {
    const run = averageRun(shift, 1500, 400);
    expect(run / expected).toBeGreaterThan(0.93);
    expect(run / expected).toBeLessThan(1.07);
  });

  it('has a stated rate of false alarms: 465 at limit 5, some 9,500 at the limit in use', () => {
    expect(valuesBetweenAlarms(5) / 465).toBeCloseTo(1, 1);
    expect(valuesBetweenAlarms(slowLimit)).toBeGreaterThan(9000);
  });

  it('that creeps is found with its direction and about where it began', () => {
    const z = Array.from({ length: 300 }, (_, i) => (i < 150 ? 0 : -(i - 150) / 30) + 0.5 * gauss());
    const found = slowDeparture(z)!;
    expect(found.direction).toBe('down');
    expect(found.began).toBeGreaterThan(140);
    expect(found.passed).toBeLessThan(225);
  });

  it('is none of one odd value, of missing values, or of nothing', () => {
    expect(slowDeparture([0, 0, 40, 0, 0, NaN, 0])).toBeNull();
    expect(slowDeparture([])).toBeNull();
  });
});

describe('fouling over months', () => {
  it('is seen against the first normal, long before a day stands out by itself', () => {
    // A fiftieth of a standard uncertainty more each day, scatter of one either side.
    const days = Array.from({ length: 180 }, (_, day) => 0.02 * day + Math.sin(2.4 * day));
    const found = slowDeparture(days)!;
    expect(found.direction).toBe('up');
    expect(found.passed).toBeLessThan(75);
    expect(days.slice(0, found.passed).every((z) => z < 3)).toBe(true);
  });
});
