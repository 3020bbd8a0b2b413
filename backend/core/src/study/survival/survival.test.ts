import { describe, expect, it } from 'vitest';
import { seededRandom } from '../../numerics/index.js';
import { comingFailures } from './coming-failures.js';
import { survivalCurve } from './kaplan-meier.js';
import type { Lifetime } from './lifetime.js';
import { logRank } from './log-rank.js';

const from0 = (exits: readonly (number | [number])[]): Lifetime[] =>
  exits.map((exit) =>
    typeof exit === 'number' ? { entry: 0, exit, failed: true } : { entry: 0, exit: exit[0], failed: false },
  );

// Freireich et al. 1963, Blood 21:699: weeks in remission, in brackets where it had not ended.
const treated = from0([
  6,
  6,
  6,
  [6],
  7,
  [9],
  10,
  [10],
  [11],
  13,
  16,
  [17],
  [19],
  [20],
  22,
  23,
  [25],
  [32],
  [32],
  [34],
  [35],
]);
const placebo = from0([1, 1, 2, 2, 3, 4, 4, 5, 5, 8, 8, 8, 8, 11, 11, 12, 12, 15, 17, 22, 23]);

describe('survival over age', () => {
  // As printed of these data in textbooks and program manuals (Kleinbaum & Klein, Survival Analysis; from memory).
  it('of the treated children is the published curve, with its standard errors and log-log intervals', () => {
    const { steps, median, failures, parts } = survivalCurve(treated);
    expect(steps.map(({ age }) => age)).toEqual([6, 7, 10, 13, 16, 22, 23]);
    expect(steps.map(({ atRisk }) => atRisk)).toEqual([21, 17, 15, 12, 11, 7, 6]);
    const columns: [(step: (typeof steps)[number]) => number, number[]][] = [
      [({ survival }) => survival, [0.8571, 0.8067, 0.7529, 0.6902, 0.6275, 0.5378, 0.4482]],
      [({ standardError }) => standardError, [0.0764, 0.0869, 0.0963, 0.1068, 0.1141, 0.1282, 0.1346]],
      [({ low }) => low, [0.6197, 0.5631, 0.5032, 0.4316, 0.3675, 0.2678, 0.1881]],
      [({ high }) => high, [0.9516, 0.9228, 0.8894, 0.8491, 0.8049, 0.7468, 0.6801]],
    ];
    for (const [of, published] of columns)
      steps.forEach((step, place) => expect(of(step)).toBeCloseTo(published[place]!, 3));
    expect({ median, failures, parts }).toEqual({ median: 23, failures: 9, parts: 21 });
  });

  it('of the children on placebo falls to 0 with the last of them, half of them by week 8', () => {
    const { steps, median } = survivalCurve(placebo);
    expect(median).toBe(8);
    expect(steps.at(-1)).toMatchObject({ age: 23, survival: 0, low: 0 });
    // Printed as 0.381 beyond week 8 (8 of 21), standard error 0.106 (Cox & Oakes, Analysis of Survival Data, table 1.1).
    expect(steps.find(({ age }) => age === 8)!.survival).toBeCloseTo(0.381, 3);
    expect(steps.find(({ age }) => age === 8)!.standardError).toBeCloseTo(0.106, 3);
  });

  // At risk: entry < age <= exit (Klein & Moeschberger, Survival Analysis, 2nd ed., p. 123); fractions by hand.
  it('counts a part that was old when it was first seen from then on only', () => {
    const { steps } = survivalCurve([
      { entry: 0, exit: 2, failed: true },
      { entry: 0, exit: 5, failed: true },
      { entry: 2, exit: 5, failed: false },
      { entry: 3, exit: 8, failed: true },
    ]);
    expect(steps.map(({ atRisk }) => atRisk)).toEqual([2, 3, 1]);
    [1 / 2, 1 / 3, 0].forEach((fraction, place) => expect(steps[place]!.survival).toBeCloseTo(fraction, 12));
  });

  it('is the same whether a part is watched in one stretch or in two', () => {
    const cut = treated.flatMap((part): Lifetime[] =>
      part.exit > 9
        ? [
            { entry: 0, exit: 9, failed: false },
            { ...part, entry: 9 },
          ]
        : [part],
    );
    expect(survivalCurve(cut).steps).toEqual(survivalCurve(treated).steps);
  });

  it('refuses a lifetime that ends before it begins', () => {
    expect(() => survivalCurve([{ entry: 3, exit: 2, failed: true }])).toThrow('lifetimes');
  });
});

describe('whether groups fail alike', () => {
  it('is told of the remission data as published: chi-square 16.79, 9 failures where 19.25 were expected', () => {
    const found = logRank([treated, placebo])!;
    expect(found.chiSquare).toBeCloseTo(16.79, 2);
    expect(found.observed).toEqual([9, 21]);
    expect(found.expected[0]).toBeCloseTo(19.25, 2);
    expect(found.expected[1]).toBeCloseTo(10.75, 2);
    expect(found.degreesOfFreedom).toBe(1);
    expect(found.probability).toBeCloseTo(4.17e-5, 6);
  });

  it('is not told of one group, nor where no two were watched at one age', () => {
    expect(logRank([treated])).toBeNull();
    const late = treated.map((part) => ({ ...part, entry: part.exit + 40, exit: part.exit + 60 }));
    expect(logRank([treated, late])).toBeNull();
  });

  it('is wrong in one of twenty fleets where all fail alike, and leaves out a group that nothing is known of', () => {
    const uniform = seededRandom(5);
    let wrong = 0;
    for (let fleet = 0; fleet < 400; fleet++) {
      const groups = [0, 1, 2].map(() => seenLives(uniform, 40, () => weibull(uniform, 6, 3)));
      wrong += Number(logRank(groups)!.probability < 0.05);
    }
    expect(wrong / 400).toBeGreaterThan(0.02);
    expect(wrong / 400).toBeLessThan(0.085);
    expect(logRank([treated, placebo, []])!.degreesOfFreedom).toBe(1);
  });
});

const weibull = (uniform: () => number, scale: number, shape: number) =>
  scale * (-Math.log(1 - uniform())) ** (1 / shape);

/** Parts installed over eight years, watched over the last four of them only. */
function seenLives(uniform: () => number, count: number, life: () => number, oldest = 8): Lifetime[] {
  const found: Lifetime[] = [];
  while (found.length < count) {
    const age = oldest * uniform();
    const entry = Math.max(0, age - 4);
    const fails = life();
    // Whoever failed before the watch began was never seen.
    if (fails > entry && age > entry) found.push({ entry, exit: Math.min(fails, age), failed: fails <= age });
  }
  return found;
}

describe('simulated fleets of which the truth is known', () => {
  it('have it within the interval of survival 95 times of 100, though most parts are seen late', () => {
    const uniform = seededRandom(11);
    const truth = Math.exp(-((5 / 6) ** 3));
    let within = 0;
    for (let fleet = 0; fleet < 400; fleet++) {
      const { steps } = survivalCurve(seenLives(uniform, 150, () => weibull(uniform, 6, 3)));
      const { low, high } = steps.filter(({ age }) => age <= 5).at(-1)!;
      within += Number(low <= truth && truth <= high);
    }
    expect(within / 400).toBeGreaterThan(0.9);
    expect(within / 400).toBeLessThan(0.98);
  });

  it('lose as many parts in each coming quarter as the interval says', () => {
    const uniform = seededRandom(12);
    const within = [0, 0];
    const fleets = 80;
    for (let fleet = 0; fleet < fleets; fleet++) {
      const seen = seenLives(uniform, 1500, () => weibull(uniform, 5, 2.5), 6);
      const alive = seen.filter(({ failed, exit }) => !failed && exit < 5).map(({ exit }) => exit);
      const told = comingFailures(seen, alive, {
        period: 0.25,
        periods: 2,
        ageStep: 0.5,
        draws: 120,
        seed: fleet + 1,
      });
      // What then befalls them: lives beyond the age that they have reached.
      const ends = alive.map((age) => 5 * ((age / 5) ** 2.5 - Math.log(1 - uniform())) ** (1 / 2.5) - age);
      told.forEach(({ low, high }, quarter) => {
        const lost = ends.filter((left) => left > quarter * 0.25 && left <= (quarter + 1) * 0.25).length;
        within[quarter]! += Number(low <= lost && lost <= high);
      });
    }
    for (const count of within) {
      expect(count / fleets).toBeGreaterThan(0.9);
      expect(count / fleets).toBeLessThanOrEqual(0.98);
    }
  });
});

describe('failures to come', () => {
  it('of parts older than any that were watched are not told', () => {
    const seen = from0(Array.from({ length: 20 }, (_, k): number | [number] => (k % 4 === 0 ? 2 : [3])));
    const [quarter] = comingFailures(seen, [1, 2.9, 7], { period: 0.25, periods: 1, ageStep: 0.5 });
    expect(quarter!.notTold).toBe(2);
  });

  it('add up over quarters to no more than the parts there are', () => {
    const seen = from0(Array.from({ length: 50 }, (_, k) => 1 + (k % 10) / 10));
    const told = comingFailures(seen, [1, 1, 1], { period: 0.25, periods: 4, ageStep: 0.25 });
    expect(told.reduce((sum, { expected }) => sum + expected, 0)).toBeLessThanOrEqual(3);
  });
});
