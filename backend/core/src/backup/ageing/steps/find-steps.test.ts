import { describe, expect, it } from 'vitest';
import { findSteps, scatterOfTests } from './find-steps.js';

const day_s = 86_400;
const scatter = 0.01;
const least = 0.01;

const stepsIn = (values: number[], options: { least?: number; everyDays?: number } = {}) =>
  findSteps(
    values,
    values.map((_, i) => i * (options.everyDays ?? 1) * day_s),
    options.least ?? least,
    scatter,
  );
const flat = (tests: number, level = 0) => new Array<number>(tests).fill(level);

/** Variance of a line through 20 places, counted back from the next, extrapolated to `x` places after it; in scatters. */
const lineVariance = (x: number) => 1 / 20 + (x + 10.5) ** 2 / 665;

describe('the scatter of tests', () => {
  it('is the scaled median difference between neighbours over the root of two', () => {
    // Differences of 1, 1, 1, 1 and 9: the odd one does not count.
    expect(scatterOfTests([0, 1, 0, 1, 0, 9])).toBeCloseTo(1.4826 / Math.SQRT2, 12);
    expect(scatterOfTests([0, 1])).toBeNaN();
    expect(scatterOfTests([0, 1, 2])).toBeCloseTo(1.4826 / Math.SQRT2, 12);
  });
});

describe('a step', () => {
  it('is found where the tests fall, with its size, its standard error and the tests after it', () => {
    const [step, ...others] = stepsIn([...flat(20), ...flat(10, -0.1)]);
    expect(others).toEqual([]);
    expect(step).toMatchObject({ index: 20, tests: 10 });
    expect(step!.size).toBeCloseTo(-0.1, 12);
    // Median of seven (variance pi / 2 over that of the mean), against the line at the middle of the seven.
    expect(step!.uncertainty).toBeCloseTo(scatter * Math.sqrt(1.57 / 7 + lineVariance(3)), 9);
  });

  it('is found at the very next test', () => {
    const [step] = stepsIn([...flat(20), 0.1]);
    expect(step).toMatchObject({ index: 20, tests: 1 });
    expect(step!.size).toBeCloseTo(0.1, 12);
    expect(step!.uncertainty).toBeCloseTo(scatter * Math.sqrt(1 + lineVariance(0)), 9);
  });

  it('is not one test that is off and is followed by sound ones', () => {
    expect(stepsIn([...flat(20), -0.1, ...flat(10)])).toEqual([]);
    expect(stepsIn([...flat(20), -0.1, 0])).toEqual([]);
  });

  it('of one test is over 4.2 standard errors, of seven over 5', () => {
    const ofOne = 4.2 * scatter * Math.sqrt(1 + lineVariance(0));
    expect(stepsIn([...flat(20), -0.98 * ofOne])).toEqual([]);
    expect(stepsIn([...flat(20), -1.02 * ofOne])).toHaveLength(1);
    const ofSeven = 5 * scatter * Math.sqrt(1.57 / 7 + lineVariance(3));
    expect(stepsIn([...flat(20), ...flat(7, -0.98 * ofSeven)])).toEqual([]);
    expect(stepsIn([...flat(20), ...flat(7, -1.02 * ofSeven)])).toHaveLength(1);
  });

  it('is not reported below the smallest size that matters', () => {
    expect(stepsIn([...flat(20), ...flat(10, 0.19)], { least: 0.2 })).toEqual([]);
    expect(stepsIn([...flat(20), ...flat(10, 0.21)], { least: 0.2 })).toHaveLength(1);
  });

  it('needs six tests before it', () => {
    expect(stepsIn([...flat(5), ...flat(10, -0.5)])).toEqual([]);
    expect(stepsIn([...flat(6), ...flat(10, -0.5)])).toMatchObject([{ index: 6 }]);
  });

  it('is what goes beyond the line through the tests before it', () => {
    const falling = (i: number) => -0.002 * i;
    const values = Array.from({ length: 30 }, (_, i) => falling(i) - (i >= 20 ? 0.1 : 0));
    const [step] = stepsIn(values);
    expect(step!.size).toBeCloseTo(-0.1, 9);
    // Ageing alone is no step, however far it goes.
    expect(stepsIn(Array.from({ length: 200 }, (_, i) => falling(i)))).toEqual([]);
  });

  it('is measured against tests of the last 90 days only', () => {
    // A test every 10 days; the fall began on day 100, and only tests from day 110 on are within 90 days of day 200.
    const fall = (i: number) => -0.01 * Math.max(0, i - 11);
    const values = Array.from({ length: 30 }, (_, i) => fall(i) - (i >= 20 ? 0.2 : 0));
    expect(stepsIn(values, { everyDays: 10 })[0]!.size).toBeCloseTo(-0.2, 9);
  });

  it('is measured against 28 tests at most', () => {
    // A line through 28 places: 28 (28^2 - 1) / 12 = 1827; the middle of the seven after it is 17.5 from its centre.
    const [step] = stepsIn([...flat(40), ...flat(10, -0.1)]);
    expect(step!.uncertainty).toBeCloseTo(scatter * Math.sqrt(1.57 / 7 + 1 / 28 + 17.5 ** 2 / 1827), 9);
  });

  it('leaves tests over four scatters off the line out of it', () => {
    // On place 12 of 20 the leverage is 1/20 + 2.5^2 / 665 = 0.0594: of 4.24 scatters 3.99 are left, of 4.26 4.01.
    const [kept, left] = [0.0424, 0.0426].map((off) => {
      const values = [...flat(20), ...flat(10, -0.1)];
      values[12] = off;
      return stepsIn(values)[0]!;
    });
    const ofTwenty = scatter * Math.sqrt(1.57 / 7 + lineVariance(3));
    expect(kept!.uncertainty).toBeCloseTo(ofTwenty, 9);
    expect(left!.uncertainty).toBeGreaterThan(ofTwenty);
    expect(left!.size).toBeCloseTo(-0.1, 12);
    expect(kept!.size).not.toBeCloseTo(-0.1, 4);
  });

  it('begins with two tests that have gone at least 60 % of the way', () => {
    const first = (...tests: number[]) => stepsIn([...flat(20), ...tests, ...flat(10, -0.1)])[0]!.index;
    expect(first(-0.061)).toBe(20);
    expect(first(-0.059)).toBe(21);
    expect(first(-0.1, -0.061)).toBe(20);
    expect(first(-0.1, -0.059)).toBe(22);
  });

  it('begins a test later where it is over 5 % larger from there on', () => {
    // The mean of two tests is 0.0955 and 0.095 under the line; the last alone 0.1: 4.7 and 5.3 % more.
    expect(stepsIn([...flat(20), -0.091, -0.1]).map(({ index }) => index)).toEqual([20]);
    expect(stepsIn([...flat(20), -0.09, -0.1]).map(({ index }) => index)).toEqual([21]);
  });

  it('is found again after the first', () => {
    const steps = stepsIn([...flat(20), ...flat(20, -0.1), ...flat(5, -0.25)]);
    expect(steps.map(({ index, tests }) => [index, tests])).toEqual([
      [20, 20],
      [40, 5],
    ]);
    expect(steps[1]!.size).toBeCloseTo(-0.15, 9);
  });

  it('keeps its size where one of the tests before it was off by ten scatters', () => {
    const values = [...flat(20), ...flat(10, -0.1)];
    values[12] = 0.1;
    const [step] = stepsIn(values);
    expect(step!.size).toBeCloseTo(-0.1, 9);
    // Nineteen tests are left of the line.
    expect(step!.uncertainty).toBeGreaterThan(scatter * Math.sqrt(1.57 / 7 + lineVariance(3)));
  });
});
