import { describe, expect, it } from 'vitest';
import { doublings, paceChange, placesOfChange, shapes, usualDoubling, type Axis } from './ageing-courses.js';
import { normalFrom, seededRandom } from '../../../numerics/random.js';
import { filled } from '../../../numerics/robust.js';
import { weighCourses, type MeasuredLevels } from './weigh-courses.js';

const bins = 20;
const day_s = 86400;
const scatter = 0.004;
const calendar = { timeUntil_s: (added_s: number) => added_s, meanRate: 1, spread: () => 0 };
/** All beliefs about the doubling give the same weighted age here. */
const axes = doublings.map(({ prior }): Axis => {
  const x = filled(bins, (i) => 20 * day_s * i);
  return { calendar, prior, now: x[bins - 1]!, x };
});
const { x } = axes[usualDoubling]!;

function measuredOf(level: (i: number) => number, seed: number): MeasuredLevels {
  const random = seededRandom(seed);
  return {
    level_F: filled(bins, (i) => level(i) * (1 + 0.6 * scatter * normalFrom(random))),
    // Stated as more than it is, so that it is never taken to be larger than stated.
    scatter,
    // As many as make Student's t a normal distribution.
    freedom: 1e9,
    warmer_K: filled(bins, (i) => 10 + 9 * Math.cos((2 * Math.PI * i) / 18)),
    perK: 0.001,
    perKUncertainty: 0.0003,
  };
}

/**
 * ln of the normal density of y with a covariance S, by Cholesky: -1/2 (ln det S + y' S^-1 y), constants left out.
 * The textbook form of a marginal likelihood, in which the terms are correlations of the errors.
 */
function lnDensity(y: Float64Array, covariance: (i: number, j: number) => number): number {
  const n = y.length;
  const l = Array.from({ length: n }, () => new Float64Array(n));
  let sum = 0;
  const solved = new Float64Array(n);
  for (let i = 0; i < n; i++) {
    for (let j = 0; j <= i; j++) {
      let rest = covariance(i, j);
      for (let k = 0; k < j; k++) rest -= l[i]![k]! * l[j]![k]!;
      l[i]![j] = i === j ? Math.sqrt(rest) : rest / l[j]![j]!;
    }
    let rest = y[i]!;
    for (let k = 0; k < i; k++) rest -= l[i]![k]! * solved[k]!;
    solved[i] = rest / l[i]![i]!;
    sum += Math.log(l[i]![i]!) + solved[i]! ** 2 / 2;
  }
  return -sum;
}

describe('weights of courses', () => {
  // Slightly bent, so that neither a change of pace nor none can be left out.
  const measured = measuredOf((i) => 0.996 ** i - 0.002 * Math.max(0, i - 10), 6);
  const courses = weighCourses(axes, measured);

  it('add up to one', () => {
    expect(courses.reduce((sum, { weight }) => sum + weight, 0)).toBeCloseTo(1, 12);
  });

  it('are prior times the normal density with the covariance of line, change and temperature law', () => {
    // On the logarithmic scale a relative error is an error, so that nothing but that density tells courses apart.
    const y = filled(bins, (i) => Math.log(measured.level_F[i]!));
    const w = measured.warmer_K;
    const flat = 1e3;
    const density = (change: number) => {
      const h = filled(bins, (i) => (change > 0 ? Math.max(0, x[i]! - x[change]!) : 0));
      return lnDensity(
        y,
        (i, j) =>
          (i === j ? scatter ** 2 : 0) +
          flat * (1 + (x[i]! * x[j]!) / x[bins - 1]! ** 2) +
          paceChange.perSecond ** 2 * h[i]! * h[j]! +
          measured.perKUncertainty ** 2 * w[i]! * w[j]!,
      );
    };
    const priorOf = (change: number) =>
      change > 0
        ? (paceChange.prior * paceChange.shapes[0]!.prior) / placesOfChange(bins).length
        : (1 - paceChange.prior) * shapes[0]!.prior * doublings[usualDoubling]!.prior;
    const logarithmic = courses.filter(
      ({ scale, axis }) => scale.power === 0 && axis === axes[usualDoubling],
    );
    const changes = logarithmic.map(({ change }) => change);
    expect(changes).toContain(0);
    expect(changes.some((change) => change > 0)).toBe(true);
    const beyond = logarithmic.map(
      ({ weight, change }) => Math.log(weight / priorOf(change)) - density(change),
    );
    for (const each of beyond) expect(each).toBeCloseTo(beyond[0]!, 2);
  });

  it('leave more to an even pace in a bent course where the scatter is known from few tests', () => {
    const bent = measuredOf((i) => 1 - 0.004 * i - 0.006 * Math.max(0, i - 10), 5);
    const even = (freedom: number) =>
      weighCourses(axes, { ...bent, freedom })
        .filter(({ change }) => change === 0)
        .reduce((sum, { weight }) => sum + weight, 0);
    expect(even(4)).toBeGreaterThan(even(100));
  });
});
