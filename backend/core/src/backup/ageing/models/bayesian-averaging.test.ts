import { describe, expect, it } from 'vitest';
import { doublings, paceChange, changePoints, shapes, usualDoubling } from './model-priors.js';
import type { AgeAxis } from './age-axis.js';
import { filled, normalDraws, seededRandom } from '../../../numerics/index.js';
import { posteriorModels, type MeasuredLevels } from './bayesian-averaging.js';
import { lnDensity } from './sample-density.js';

const bins = 20;
const day_s = 86400;
const scatter = 0.004;
const calendar = { timeUntil_s: (added_s: number) => added_s, meanRate: 1, spread: () => 0 };
/** Any doubling temperature gives the same weighted age here. */
const axes = doublings.map(({ prior }): AgeAxis => {
  const x = filled(bins, (i) => 20 * day_s * i);
  return { calendar, prior, now: x[bins - 1]!, x };
});
const { x } = axes[usualDoubling]!;

function measuredOf(level: (i: number) => number, seed: number): MeasuredLevels {
  const random = seededRandom(seed);
  const normal = normalDraws(random);
  return {
    level_F: filled(bins, (i) => level(i) * (1 + 0.6 * scatter * normal())),
    // Stated larger than it is, so that the data never show a larger one.
    scatter,
    // As many as make Student's t a normal distribution.
    freedom: 1e9,
    warmer_K: filled(bins, (i) => 10 + 9 * Math.cos((2 * Math.PI * i) / 18)),
    perK: 0.001,
    perKUncertainty: 0.0003,
  };
}

describe('posterior weights of ageing models', () => {
  // Slightly bent, so that neither a change of pace nor none can be left out everywhere.
  const cases = Array.from({ length: 20 }, (_, k) =>
    measuredOf((i) => 0.996 ** i - 0.0005 * (4 + (k % 5)) * Math.max(0, i - 10), k + 1),
  );

  it.each(cases)('add up to one', (measured) => {
    const models = posteriorModels(axes, measured);
    expect(models.reduce((sum, { weight }) => sum + weight, 0)).toBeCloseTo(1, 12);
  });

  it('are prior times the normal density with the covariance of line, change and temperature law', () => {
    const flat = 1e3;
    const density = ({ level_F, warmer_K: w, perKUncertainty }: MeasuredLevels, change: number) => {
      const h = filled(bins, (i) => (change > 0 ? Math.max(0, x[i]! - x[change]!) : 0));
      return lnDensity(
        filled(bins, (i) => Math.log(level_F[i]!)),
        (i, j) =>
          (i === j ? scatter ** 2 : 0) +
          flat * (1 + (x[i]! * x[j]!) / x[bins - 1]! ** 2) +
          paceChange.perSecond ** 2 * h[i]! * h[j]! +
          perKUncertainty ** 2 * w[i]! * w[j]!,
      );
    };
    const priorOf = (change: number) =>
      change > 0
        ? (paceChange.prior * paceChange.shapes[0]!.prior) / changePoints(bins).length
        : (1 - paceChange.prior) * shapes[0]!.prior * doublings[usualDoubling]!.prior;
    let compared = 0;
    for (const measured of cases) {
      // On the logarithmic scale a relative error is an error, so that nothing but that density tells the models apart.
      const logarithmic = posteriorModels(axes, measured).filter(
        ({ scale, axis }) => scale.power === 0 && axis === axes[usualDoubling],
      );
      const even = logarithmic.find(({ change }) => change === 0);
      if (!even) continue;
      const beyond = ({ weight, change }: typeof even) =>
        Math.log(weight / priorOf(change)) - density(measured, change);
      for (const model of logarithmic) {
        expect(beyond(model)).toBeCloseTo(beyond(even), 2);
        if (model.change > 0) compared++;
      }
    }
    expect(compared).toBeGreaterThan(10);
  });

  it('are given to models of over 1 % alone', () => {
    const smallest = cases.map((measured) =>
      posteriorModels(axes, measured).reduce((least, { weight }) => Math.min(least, weight), 1),
    );
    expect(Math.min(...smallest)).toBeGreaterThan(0.01);
    expect(Math.min(...smallest)).toBeLessThan(0.015);
  });

  it('leave more to an even pace under ageing that quickens where the scatter is known from few tests', () => {
    const quickening = measuredOf((i) => 1 - 0.004 * i - 0.006 * Math.max(0, i - 10), 5);
    const even = (freedom: number) =>
      posteriorModels(axes, { ...quickening, freedom })
        .filter(({ change }) => change === 0)
        .reduce((sum, { weight }) => sum + weight, 0);
    expect(even(4)).toBeGreaterThan(even(100));
  });
});
