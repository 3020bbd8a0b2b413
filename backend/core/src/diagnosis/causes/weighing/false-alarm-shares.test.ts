import { describe, expect, it } from 'vitest';
import { normalProbability, normalQuantile } from '../../../numerics/index.js';
import { falseAlarmShares, type LookedFor } from './false-alarm-shares.js';

const rate = 0.01;
const fault = (perUnit: number, prior = 0.1, spread = 0.001): LookedFor => ({
  perUnit,
  prior,
  severity: { median: 1, spread },
});
const limitsOf = (shares: readonly number[]) => shares.map((share) => -normalQuantile(share * rate));

describe('the false-alarm rate shared among faults', () => {
  // Roeder & Wasserman 2009, Stat. Sci. 24:398: the limit of an effect m lies at m/2 + c/m, with the same c for all.
  it('puts the limit of each known effect where its likelihood ratio is the same', () => {
    const effects = [2, 3, 4.5];
    const shares = falseAlarmShares(
      effects.map((effect) => fault(effect)),
      rate,
    );
    const c = limitsOf(shares).map((limit, k) => effects[k]! * (limit - effects[k]! / 2));
    expect(shares.reduce((sum, share) => sum + share, 0)).toBeCloseTo(1, 9);
    expect(c[1]).toBeCloseTo(c[0]!, 2);
    expect(c[2]).toBeCloseTo(c[0]!, 2);
  });

  it('finds more than equal shares do, as what is slight needs most of the rate', () => {
    const faults = [fault(2.5), fault(9), fault(9), fault(12)];
    const shares = falseAlarmShares(faults, rate);
    const found = (all: readonly number[]) =>
      limitsOf(all).reduce((sum, limit, k) => sum + normalProbability(faults[k]!.perUnit - limit), 0);
    expect(shares[0]).toBeGreaterThan(0.7);
    expect(found(shares)).toBeGreaterThan(found([0.25, 0.25, 0.25, 0.25]) + 0.1);
  });

  it('is the same for faults that are alike, and more for the likelier', () => {
    expect(falseAlarmShares([fault(3), fault(3)], rate)[0]).toBeCloseTo(0.5, 9);
    const [likely, unlikely] = falseAlarmShares([fault(3, 0.16, 1), fault(3, 0.04, 1)], rate);
    expect(likely).toBeGreaterThan(unlikely!);
    expect(falseAlarmShares([], rate)).toEqual([]);
  });
});
