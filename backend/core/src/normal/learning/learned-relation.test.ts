import { describe, expect, it } from 'vitest';
import { normalDraws, seededRandom, studentQuantile } from '../../numerics/index.js';
import { learnRelation, learnRelationWithout, predict } from './learned-relation.js';

const random = seededRandom(11);
const gauss = normalDraws(seededRandom(12));
const points = (n: number) =>
  Array.from({ length: n }, () => [2 * random() - 1, 2 * random() - 1, 2 * random() - 1].map((v) => 1.5 * v));
const each = (n: number) => Array.from({ length: n }, (_, i) => i);
const bent = ([a, b, c]: number[]) => 3 + a - 0.5 * b + 0.2 * c + 0.3 * a * a - 0.2 * a * b;

describe('a learned relation', () => {
  it('follows slopes and curvature', () => {
    const at = points(60);
    const { relation } = learnRelation(at, at.map(bent), 0.01, each(60))!;
    for (const point of points(20)) expect(predict(relation, point).value).toBeCloseTo(bent(point), 1);
    expect(relation.noise).toBeLessThan(0.02);
  });

  it.each([12, 24, 100])(
    'of %i plateaus is off by more than its limit of 95 in 100 about as often as it says',
    (n) => {
      let over = 0;
      let count = 0;
      for (let k = 0; k < 40; k++) {
        const at = points(n);
        const noisy = at.map((point) => bent(point) + 0.1 * gauss());
        const { relation } = learnRelation(at, noisy, 0.1, each(n))!;
        const limit = studentQuantile(0.975, relation.degreesOfFreedom);
        for (const point of points(25)) {
          const { value, relationVariance, noiseVariance } = predict(relation, point);
          const off = bent(point) + 0.1 * gauss() - value;
          if (Math.abs(off) > limit * Math.sqrt(relationVariance + noiseVariance)) over++;
          count++;
        }
      }
      expect(over / count).toBeGreaterThan(0.005);
      expect(over / count).toBeLessThan(0.085);
    },
  );

  it('of 24 plateaus says so where the machine scatters by half of what is usual, and is off over its limit no more often', () => {
    let over = 0;
    let count = 0;
    let noise = 0;
    for (let k = 0; k < 40; k++) {
      const at = points(24);
      const noisy = at.map((point) => bent(point) + 0.05 * gauss());
      const { relation } = learnRelation(at, noisy, 0.1, each(24))!;
      noise += relation.noise / 40;
      const limit = studentQuantile(0.975, relation.degreesOfFreedom);
      for (const point of points(25)) {
        const { value, relationVariance, noiseVariance } = predict(relation, point);
        const off = bent(point) + 0.05 * gauss() - value;
        if (Math.abs(off) > limit * Math.sqrt(relationVariance + noiseVariance)) over++;
        count++;
      }
    }
    expect(noise).toBeGreaterThan(0.045);
    expect(noise).toBeLessThan(0.056);
    expect(over / count).toBeGreaterThan(0.03);
    expect(over / count).toBeLessThan(0.085);
  });

  it('claims little away from what it was learned at, also along a predictor that never moved', () => {
    const at = points(24).map(([a]) => [a, 0]);
    const { relation } = learnRelation(
      at,
      at.map(([a]) => 2 + a + 0.05 * gauss()),
      0.1,
      each(24),
    )!;
    const near = Math.sqrt(predict(relation, [0, 0]).relationVariance);
    const corner = Math.sqrt(predict(relation, [4, 0]).relationVariance);
    const moved = Math.sqrt(predict(relation, [0, 2]).relationVariance);
    expect(corner).toBeGreaterThan(3 * near);
    expect(moved).toBeGreaterThan(10 * near);
  });

  it('is hardly moved by one plateau that was off', () => {
    const at = points(24);
    const values = at.map((point) => bent(point) + 0.05 * gauss());
    values[5] += 3;
    const { relation, leftOut } = learnRelation(at, values, 0.05, each(24))!;
    expect(relation.noise).toBeLessThan(0.3);
    expect(Math.abs(leftOut[5])).toBeGreaterThan(3);
    expect(predict(relation, at[5]).value).toBeCloseTo(bent(at[5]), 0);
  });

  it('is none under four values', () => {
    expect(learnRelation(points(3), [1, 2, 3], 0.1, each(3))).toBeNull();
    expect(learnRelation(points(5), [1, 2, NaN, NaN, 3], 0.1, each(5))).toBeNull();
  });
});

describe('a relation without one of its predictors', () => {
  it('expects the same whatever that one is, and knows it as well, with the scatter that the quantity then has', () => {
    const at = points(200);
    // The second predictor is the quantity itself; it follows the first and varies freely besides, by 0.3.
    const values = at.map(([a]) => 2 + a + 0.3 * gauss());
    const { relation } = learnRelationWithout(
      1,
      at.map(([a, , c], k) => [a, values[k], c]),
      values,
      0.1,
      each(200),
    )!;
    expect(relation.noise).toBeGreaterThan(0.25);
    expect(relation.noise).toBeLessThan(0.35);
    const [low, high] = [-3, 3].map((own) => predict(relation, [0.5, own, 0]));
    expect(low).toEqual(high);
    expect(low.value).toBeCloseTo(2.5, 0);
    expect(Math.sqrt(low.relationVariance)).toBeLessThan(0.1);
  });
});
