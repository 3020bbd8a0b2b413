import { describe, expect, it } from 'vitest';
import { filled } from '../../../numerics/index.js';
import { capacitanceOfTests, esrOfTests, lawAndSteps, type TestedQuantity } from './law-and-steps.js';

const day_s = 86_400;
/** Daily tests at 298.15 K, unless said otherwise. */
const of = (quantity: TestedQuantity, ln: Float64Array, warmer: (i: number) => number = () => 0) => {
  const time_s = filled(ln.length, (i) => i * day_s);
  return lawAndSteps(
    quantity,
    ln,
    filled(ln.length, (i) => 298.15 + warmer(i)),
    time_s,
    time_s,
  );
};
/** Up and down by so much from test to test, and a step after twenty of thirty. */
const stepped = (size: number, ripple: number) =>
  filled(30, (i) => (i % 2 ? ripple : 0) + (i >= 20 ? size : 0));

describe('steps that matter, of the logarithm (judgement, no source)', () => {
  it.each([
    ['capacitance', capacitanceOfTests, 0.05],
    ['ESR', esrOfTests, 0.25],
  ])('are of %s those over their least size, either way', (_, quantity, least) => {
    for (const sign of [-1, 1]) {
      expect(of(quantity, stepped(sign * (least - 0.002), 1e-4)).steps).toEqual([]);
      const { steps } = of(quantity, stepped(sign * (least + 0.002), 1e-4));
      expect(steps).toMatchObject([{ index: 20, tests: 10 }]);
      expect(steps[0]!.size).toBeCloseTo(sign * (least + 0.002), 3);
    }
  });

  it('are the last five of more', () => {
    // A fall by 0.2 after every tenth of 80 tests: on tests 10, 20, ... 70.
    const { steps } = of(
      capacitanceOfTests,
      filled(80, (i) => (i % 2 ? 1e-4 : 0) - 0.2 * Math.floor(i / 10)),
    );
    expect(steps.map(({ index }) => index)).toEqual([30, 40, 50, 60, 70]);
  });
});

describe('the scatter of one test', () => {
  const ripple = (size: number, n = 30) => filled(n, (i) => (i % 2 ? size : 0));

  it('is the scaled median of the differences over the root of two', () => {
    expect(of(capacitanceOfTests, ripple(0.02)).scatter).toBeCloseTo((1.4826 * 0.02) / Math.SQRT2, 12);
  });

  it.each([
    ['capacitance', capacitanceOfTests, 0.001, 0.01],
    ['ESR', esrOfTests, 0.005, 0.05],
  ])('of %s is never under a least, and a usual one where none can be seen', (_, quantity, least, unseen) => {
    expect(of(quantity, ripple(1e-6)).scatter).toBe(least);
    expect(of(quantity, ripple(0.2, 2)).scatter).toBe(unseen);
    expect(of(quantity, new Float64Array(30)).scatter).toBe(unseen);
  });

  it('does not count warmth by the law', () => {
    // +-10 K by no rhythm of the tests and 0.001 per K: about 1 % from test to test, which is warmth alone.
    const warmer = (i: number) => 10 * Math.sin(1.3 * i);
    const { scatter, law } = of(
      capacitanceOfTests,
      filled(60, (i) => 0.001 * warmer(i)),
      warmer,
    );
    expect(scatter).toBe(0.001);
    expect(law.perK).toBeCloseTo(0.001, 6);
  });
});
