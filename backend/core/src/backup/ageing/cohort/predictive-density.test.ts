import { describe, expect, it } from 'vitest';
import { filled, normalDraws, seededRandom } from '../../../numerics/index.js';
import { rootAxis, usualBelief, weighedModels, type AgeAxis, type MeasuredLevels } from '../models/index.js';
import { lnDensity } from '../models/sample-density.js';
import { predictiveDensity } from './predictive-density.js';

const from = 20;
const n = 30;
const year_s = 365.25 * 86400;
const scatter = 0.004;
const perKUncertainty = 0.001;

describe('the density of later levels under a model', () => {
  it('is that of the joint normal distribution of all over that of the earlier ones', () => {
    const normal = normalDraws(seededRandom(4));
    const age_s = filled(n, (i) => ((i + 3) / 12) * year_s);
    const warmer_K = filled(n, (i) => 8 * Math.sin(i / 2));
    const level_F = filled(n, (i) => Math.exp(-0.01 * i + scatter * normal()));
    const early = (values: Float64Array) => values.slice(0, from);
    const measured: MeasuredLevels = {
      level_F: early(level_F),
      warmer_K: early(warmer_K),
      scatter,
      // So many make Student's t a normal distribution.
      freedom: 1e9,
      perK: 0,
      perKUncertainty,
    };
    const calendar = { timeUntil_s: (added_s: number) => added_s, meanRate: 1, spread: () => 0 };
    const axis: AgeAxis = { calendar, prior: 1, now: age_s[from - 1]!, x: early(age_s) };
    const { models } = weighedModels([axis, rootAxis(axis, 0)], measured, usualBelief);
    const y = [...level_F].map(Math.log);
    const logarithmic = models.filter(({ scale }) => scale.power === 0);
    expect(logarithmic.length).toBeGreaterThan(3);
    for (const model of logarithmic) {
      const density = predictiveDensity(model, measured, scatter ** 2, { from, level_F, warmer_K, age_s });
      const h = age_s.map((age, i) =>
        i > model.change && model.change > 0 ? age - age_s[model.change]! : 0,
      );
      const change = model.change > 0 ? scatter ** 2 / model.scale.noChange : 0;
      const flat = 1e3;
      const covariance = (i: number, j: number) =>
        (i === j ? scatter ** 2 : 0) +
        flat * (1 + (age_s[i]! * age_s[j]!) / year_s ** 2) +
        change * h[i]! * h[j]! +
        perKUncertainty ** 2 * warmer_K[i]! * warmer_K[j]!;
      const joint = lnDensity(y, covariance) - lnDensity(y.slice(0, from), covariance);
      // That of the normal distribution of relative errors: ln of the scatter of each.
      expect(density - (n - from) * Math.log(scatter)).toBeCloseTo(joint, 2);
    }
  });
});
