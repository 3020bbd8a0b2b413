import { describe, expect, it } from 'vitest';
import { changePoints } from './model-priors.js';
import { paceChangeOf } from './pace-change.js';
import type { FittedModel } from './fitted-models.js';

const model = (change: number, weight: number, quickens = true) =>
  ({ change, weight, quickens }) as FittedModel;
/** Bins of ten seconds. */
const change = (...models: FittedModel[]) => paceChangeOf(models, (bin) => 10 * bin);

describe('a change of pace', () => {
  it('is one on which models of 95 % of the weight agree, of when and which way', () => {
    expect(change(model(4, 0.95), model(0, 0.05, false))).toEqual({ at_s: 40, faster: true });
    expect(change(model(4, 0.94), model(0, 0.06, false))).toBeNull();
    expect(change(model(4, 0.96, false), model(0, 0.04))).toEqual({ at_s: 40, faster: false });
    expect(change(model(4, 0.5), model(4, 0.5, false))).toBeNull();
    expect(change(model(0, 1))).toBeNull();
    expect(change()).toBeNull();
  });

  it('has the weighted median of their dates, in whatever order they come', () => {
    expect(change(model(8, 0.3), model(2, 0.3), model(6, 0.4))!.at_s).toBe(60);
    expect(change(model(8, 0.6), model(2, 0.4))!.at_s).toBe(80);
    expect(change(model(8, 0.4), model(2, 0.6))!.at_s).toBe(20);
  });

  it('is tried at every second bin with two before it and four from it on', () => {
    expect(changePoints(10)).toEqual([6, 4, 2]);
    expect(changePoints(9)).toEqual([5, 3]);
    expect(changePoints(6)).toEqual([2]);
    expect(changePoints(5)).toEqual([]);
  });
});
