import { describe, expect, it } from 'vitest';
import { matchedCurve } from './matched-curve.js';

const of = (...values: [number, number][]) => new Map(values);

describe('a curve of matched members', () => {
  it('is that of a single member, as it is', () => {
    const [only, ...others] = matchedCurve([of([0, 1], [1, 0.9], [3, 0.6])]);
    expect(others).toEqual([]);
    expect(only.steps).toEqual([0, 1, 3]);
    [1, 0.9, 0.6].forEach((value, index) => {
      expect(only.middle[index]).toBeCloseTo(value, 12);
      expect(only.low[index]).toBeCloseTo(value, 12);
      expect(only.high[index]).toBeCloseTo(value, 12);
    });
  });

  it('does not move when members of another level come or leave', () => {
    // All lose a tenth from step to step; one that is at half comes at step 1, one at full leaves after it.
    const curve = matchedCurve([
      of([0, 1], [1, 0.9]),
      of([0, 0.98], [1, 0.882], [2, 0.7938]),
      of([1, 0.5], [2, 0.45]),
    ]);
    expect(curve).toHaveLength(1);
    const [{ middle }] = curve;
    expect(middle[1] / middle[0]).toBeCloseTo(0.9, 12);
    expect(middle[2] / middle[1]).toBeCloseTo(0.9, 12);
  });

  it('never rises where every member falls', () => {
    // The worn ones are seen early, the fresh ones late: plain medians would rise from 0.15 to 0.94.
    const [{ middle, steps }] = matchedCurve([
      of([0, 0.16], [1, 0.15]),
      of([1, 0.2], [2, 0.18]),
      of([2, 0.96], [3, 0.94]),
    ]);
    expect(steps).toEqual([0, 1, 2, 3]);
    for (let i = 1; i < middle.length; i++) expect(middle[i]).toBeLessThan(middle[i - 1]);
  });

  it('begins anew where no member was seen on both sides', () => {
    const curve = matchedCurve([of([0, 1], [1, 0.9]), of([2, 0.5], [3, 0.4])]);
    expect(curve.map(({ steps }) => steps)).toEqual([
      [0, 1],
      [2, 3],
    ]);
    expect(curve[1].middle[0]).toBeCloseTo(0.5, 12);
  });

  it('has the members between its tenths', () => {
    // COMPUTED: numpy.quantile([0.8, 1, 1.2], q) in logarithms: exp(interp) for 0.1 and 0.9.
    const [{ low, middle, high }] = matchedCurve([
      of([0, 0.8], [1, 0.72]),
      of([0, 1], [1, 0.9]),
      of([0, 1.2], [1, 1.08]),
    ]);
    expect(middle[0]).toBeCloseTo(1, 12);
    expect(low[0]).toBeCloseTo(Math.exp(0.8 * Math.log(0.8)), 12);
    expect(high[0]).toBeCloseTo(Math.exp(0.8 * Math.log(1.2)), 12);
  });

  it('has nothing to draw of no member', () => {
    expect(matchedCurve([])).toEqual([]);
  });
});
