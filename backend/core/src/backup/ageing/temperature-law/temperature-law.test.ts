import { describe, expect, it } from 'vitest';
import {
  capacitancePrior,
  describeLaw,
  esrPrior,
  fitLaw,
  lawFromDifferences,
  type LawFit,
} from './temperature-law.js';

const column = (n: number, of: (i: number) => number) => Float64Array.from({ length: n }, (_, i) => of(i));
/** Up and down by 10 K about 298.15 K, at no rhythm of ageing. */
const warmth = (i: number) => 10 * Math.sin(1.3 * i);
const temperature = (n: number) => column(n, (i) => 298.15 + warmth(i));
const prior = { mean: 0.001, spread: 0.001 };

describe('the first estimate of the temperature law', () => {
  it('is the slope of differences over differences, where they lie on a line', () => {
    const ln = column(30, (i) => 0.0017 * warmth(i) + 0.4);
    expect(lawFromDifferences(ln, temperature(30), prior)).toBeCloseTo(0.0017, 5);
  });

  it('is moved by a step of 30 % between two tests by less than a fifth of what it moves least squares', () => {
    const ln = column(30, (i) => 0.0017 * warmth(i) - (i >= 15 ? 0.3 : 0));
    const dT = column(29, (i) => warmth(i + 1) - warmth(i));
    const squares = dT.reduce((sum, each) => sum + each * each, 0);
    const byLeastSquares = (-0.3 * dT[14]!) / squares;
    expect(Math.abs(byLeastSquares)).toBeGreaterThan(0.001);
    expect(Math.abs(lawFromDifferences(ln, temperature(30), prior) - 0.0017)).toBeLessThan(
      Math.abs(byLeastSquares) / 5,
    );
  });

  it('is the prior under six tests', () => {
    const ln = (n: number) => column(n, (i) => 0.0017 * warmth(i));
    expect(lawFromDifferences(ln(5), temperature(5), prior)).toBe(0.001);
    expect(Math.abs(lawFromDifferences(ln(6), temperature(6), prior) - 0.0017)).toBeLessThan(0.0001);
    expect(lawFromDifferences([], [], prior)).toBe(0.001);
  });
});

describe('the fitted temperature law', () => {
  const n = 60;
  const age_s = column(n, (i) => 86_400 * i);
  const fitted = (ln: Float64Array, steps: number[] = [], scatter = 0.002) =>
    fitLaw(ln, temperature(ln.length), age_s.subarray(0, ln.length), steps, prior, scatter);

  it('is found apart from ageing along a curve and from a step', () => {
    const ageing = (i: number) => 0.1 - 0.001 * i - 0.00002 * i * i;
    const ln = column(n, (i) => ageing(i) + 0.0017 * warmth(i) - (i >= 40 ? 0.2 : 0));
    const law = fitted(ln, [40]);
    expect(law.perK).toBeCloseTo(0.0017, 6);
    const smooth = law.smooth(288.15);
    for (const i of [0, 20, 39]) expect(smooth[i]).toBeCloseTo(ageing(i) - 0.017, 5);
    for (const i of [40, 59]) expect(smooth[i]).toBeCloseTo(ageing(i) - 0.017 - 0.2, 5);
  });

  it('is as uncertain as ordinary least squares with the prior as one more observation', () => {
    // Errors of +-0.5 % by turns in pairs, at right angles to nearly everything else; s^2 from the residuals.
    const error = (i: number) => (i % 4 < 2 ? 0.005 : -0.005);
    const law = fitted(
      column(n, (i) => 0.0017 * warmth(i) + error(i)),
      [],
      0.005,
    );
    const squares = temperature(n).reduce((sum, t) => sum + (t - 298.15) ** 2, 0);
    const alone = 0.005 / Math.sqrt(squares);
    expect(law.uncertainty / alone).toBeGreaterThan(0.9);
    expect(law.uncertainty / alone).toBeLessThan(1.15);
    expect(law.residualSpread / 0.005).toBeGreaterThan(0.95);
    expect(law.residualSpread / 0.005).toBeLessThan(1.12);
  });

  it.each([
    [12, 2],
    [25, 3],
    [40, 4],
  ])('follows ageing along a curve from %d tests on up to its power %d', (tests, power) => {
    const spread = (count: number) =>
      fitted(column(count, (i) => 0.1 * ((2 * i) / (count - 1) - 1) ** power + 0.0017 * warmth(i)))
        .residualSpread;
    expect(spread(tests)).toBeLessThan(1e-5);
    expect(spread(tests - 1)).toBeGreaterThan(1e-3);
  });

  it('takes three tests more than it has terms', () => {
    // Law and level of five tests; of twelve with six steps, law, level, two powers and six steps are ten terms.
    const plain = (count: number) => column(count, (i) => 0.0017 * warmth(i));
    expect(fitted(plain(5)).perK).toBeCloseTo(0.0017, 5);
    expect(fitted(plain(4)).perK).toBe(0.001);
    expect(fitted(plain(12), [2, 3, 5, 6, 8, 9]).perK).toBe(0.001);
    expect(fitted(plain(13), [2, 3, 5, 6, 8, 9]).perK).toBeCloseTo(0.0017, 4);
  });

  it('is the prior about the median level where there are too few tests to fit', () => {
    const ln = column(4, (i) => 0.001 * warmth(i) + [0.1, 0.3, 0.2, 0.2][i]!);
    const law = fitted(ln);
    expect(law.perK).toBe(0.001);
    expect(law.uncertainty).toBe(0.001);
    expect(law.smooth(308.15)[0]).toBeCloseTo(0.2 + 0.01, 9);
    // Off the median by 0.1, 0.1, 0 and 0.
    expect(law.residualSpread).toBeCloseTo(1.4826 * 0.05, 9);
  });

  it('is never less certain than the prior', () => {
    const ln = column(12, (i) => 0.3 * Math.sin(5 * i * i));
    const at = new Float64Array(12).fill(298.2);
    expect(fitLaw(ln, at, age_s.subarray(0, 12), [], prior, 0.3).uncertainty).toBe(0.001);
  });
});

describe('how a law is reported', () => {
  const law = (perK: number, uncertainty: number): LawFit => ({
    perK,
    uncertainty,
    residualSpread: 0.01,
    smooth: () => new Float64Array(0),
  });

  it('is learned from 8 K of span on and under half of the uncertainty before', () => {
    const sure = law(0.0012, 0.49 * capacitancePrior.spread);
    const unsure = law(0.0012, 0.51 * capacitancePrior.spread);
    expect(describeLaw(sure, null, 8).from).toBe('learned');
    expect(describeLaw(sure, null, 7.9).from).toBe('prior');
    expect(describeLaw(unsure, null, 8).from).toBe('prior');
  });

  it('takes the prior of ESR where ESR was not measured', () => {
    expect(describeLaw(law(0.0012, 0.0001), null, 9)).toMatchObject({
      capacitancePerK: 0.0012,
      capacitancePerKUncertainty: 0.0001,
      esrPerK: esrPrior.mean,
      esrPerKUncertainty: esrPrior.spread,
      span_K: 9,
    });
    expect(describeLaw(law(0.0012, 0.0001), law(-0.009, 0.0005), 9)).toMatchObject({
      esrPerK: -0.009,
      esrPerKUncertainty: 0.0005,
    });
  });
});
