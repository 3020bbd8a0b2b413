import { describe, expect, it } from 'vitest';
import { dot, filled } from '../../../numerics/index.js';
import type { AgeingModel, MeasuredLevels } from './bayesian-averaging.js';
import { fitModel, modelAtQuantile, type FittedModel } from './fitted-models.js';
import type { AgeAxis } from './age-axis.js';

const bins = 20;
const scatter = 0.004;
const calendar = { timeUntil_s: (added_s: number) => added_s, meanRate: 1, spread: () => 0 };
const x = filled(bins, (i) => i);
const axis: AgeAxis = { calendar, prior: 1, now: bins - 1, x };

/** Of the logarithm, on which a relative error is an error. */
function fittedTo(ln: (i: number) => number, changed: Partial<AgeingModel> = {}, warmer = (_: number) => 0) {
  const z = filled(bins, ln);
  const scale = { power: 0, z, relative: new Float64Array(bins).fill(1), noChange: 1e-6 };
  const measured: MeasuredLevels = {
    level_F: z.map(Math.exp),
    scatter,
    freedom: 1e9,
    warmer_K: filled(bins, warmer),
    perK: 0,
    perKUncertainty: 0.001,
  };
  return fitModel(
    { kind: 'constant-fraction', axis, scale, change: 0, weight: 1, perK: 0, perKUncertainty: 0, ...changed },
    measured,
  )!;
}

describe('a fitted model of ageing', () => {
  // Leverage of the last of 20 evenly spaced values on a line through them: 1/20 + 9.5^2 / 665.
  const leverage = 1 / 20 + 9.5 ** 2 / 665;

  it('winsorises a value 10 scatters off to 2.5 scatters from the first line, and fits once more', () => {
    // The first line leaves (1 - h) 0.04 of it; what is over 2.5 scatters of that is taken off the value.
    const left = (1 - leverage) * 0.04;
    const winsorised = 0.04 - left + 2.5 * scatter;
    const { fitted } = fittedTo((i) => (i === bins - 1 ? 0.04 : 0));
    expect(fitted[bins - 1]).toBeCloseTo(leverage * winsorised, 12);
  });

  it('leaves a value 2 scatters off as it is', () => {
    const { fitted } = fittedTo((i) => (i === bins - 1 ? 2 * scatter : 0));
    expect(fitted[bins - 1]).toBeCloseTo(leverage * 2 * scatter, 12);
  });

  it('goes through a straight line, and has its level now and its slope', () => {
    const model = fittedTo((i) => 0.3 - 0.01 * i);
    const z = filled(bins, (i) => 0.3 - 0.01 * i);
    expect(dot(model.inLevel, z)).toBeCloseTo(0.3 - 0.19, 12);
    expect(dot(model.inSlope, z)).toBeCloseTo(-0.01, 12);
    expect(Math.max(...model.residual.map(Math.abs))).toBeLessThan(1e-12);
  });

  it('first subtracts the error of the temperature law', () => {
    const warmer = (i: number) => 10 + 8 * Math.cos(i);
    const model = fittedTo((i) => 0.3 - 0.01 * i + 0.002 * warmer(i), { perK: 0.002 }, warmer);
    expect(model.fitted[0]).toBeCloseTo(0.3, 12);
    expect(model.fitted[bins - 1]).toBeCloseTo(0.11, 12);
  });

  it('widens residuals by the degrees of freedom of the line: of +-1 by turns, by the root of 20 / 18', () => {
    // By turns up and down: the line takes of it only its small part along x, 6 / (n (n + 1)) of each squared sum.
    const size = 1e-3;
    const { residual } = fittedTo((i) => (i % 2 ? size : -size));
    const sxy = x.reduce((sum, value, i) => sum + value * (i % 2 ? size : -size), 0);
    const squares = bins * size ** 2 - sxy ** 2 / 665;
    expect(dot(residual, residual)).toBeCloseTo((squares * 20) / 18, 12);
  });

  it('knows whether the later pace is the faster', () => {
    const bent = (later: number) => (i: number) => -0.002 * i - later * Math.max(0, i - 10);
    expect(fittedTo(bent(0.004), { change: 10 }).quickens).toBe(true);
    expect(fittedTo(bent(-0.0015), { change: 10 }).quickens).toBe(false);
    expect(fittedTo(bent(0.004)).quickens).toBe(false);
  });

  it('continues at the later pace where that is known, and near the first where the prior allows no change', () => {
    const z = filled(bins, (i) => -0.002 * i - 0.004 * Math.max(0, i - 10));
    const open = fittedTo((i) => z[i]!, { change: 10 });
    expect(dot(open.inSlope, z)).toBeCloseTo(-0.006, 6);
    expect(dot(open.inLevel, z)).toBeCloseTo(z[bins - 1]!, 6);
  });
});

describe('the model at a quantile', () => {
  const models = [0.25, 0.75].map((weight) => ({ weight }) as FittedModel);

  it('is the first within its weight, the next from there on, and the last where weights fall short of 1', () => {
    const at = (quantile: number) => models.indexOf(modelAtQuantile(models, quantile));
    expect([0, 0.249, 0.25, 0.999, 1.001].map(at)).toEqual([0, 0, 1, 1, 1]);
  });
});
