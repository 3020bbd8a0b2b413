import { describe, expect, it } from 'vitest';
import { esrExponent } from './esr-exponent.js';
import type { NormalisedTests } from './normalised-tests.js';
import type { Step } from './steps/index.js';

const step = (index: number, size: number): Step => ({ index, size, uncertainty: 0.01, tests: 5 });

/** Twenty tests, 18 of them with an ESR from the third on; ln C falls by 0.1 from there and ln ESR rises by 0.3. */
const aged = (changed: Partial<NormalisedTests> = {}, [lnC, lnR] = [-0.1, 0.3]) => {
  const line = (total: number, residualSpread: number) => ({
    perK: 0,
    uncertainty: 0,
    residualSpread,
    smooth: () => Float64Array.from({ length: 20 }, (_, i) => (total * (i - 2)) / 17),
  });
  return {
    tests: new Array(20),
    capacitanceLaw: line(lnC!, 0.01),
    esrLaw: line(lnR!, 0.02),
    esrTests: 18,
    esrFrom: 2,
    capacitanceSteps: [],
    esrSteps: [],
    ...changed,
  } as unknown as NormalisedTests;
};

/** Mean of 2.5 +- 1.5 (common practice, no source) and of what was seen, each by one over its variance. */
const joined = (seen: number, error: number) => {
  const [a, b] = [1 / 1.5 ** 2, 1 / error ** 2];
  return { exponent: (a * 2.5 + b * seen) / (a + b), uncertainty: 1 / Math.sqrt(a + b) };
};
const close = (found: ReturnType<typeof esrExponent>, expected: ReturnType<typeof joined>) => {
  expect(found.exponent).toBeCloseTo(expected.exponent, 9);
  expect(found.uncertainty).toBeCloseTo(expected.uncertainty, 9);
};
const prior = { exponent: 2.5, uncertainty: 1.5 };

describe('how ESR rises as capacitance falls', () => {
  it('is the ratio of both changes of the logarithm, joined with what is usual by their uncertainties', () => {
    // 0.3 / 0.1 = 3. Both ends of a line through 18 tests: root(18/18) scatters; 0.02/0.1 and 3 x 0.01/0.1.
    close(esrExponent(aged()), joined(3, Math.hypot(0.2, 0.3)));
    close(esrExponent(aged({ esrTests: 72 })), joined(3, Math.hypot(0.1, 0.15)));
    close(esrExponent(aged({}, [-0.05, 0.3])), joined(6, Math.hypot(0.4, 1.2)));
  });

  it('leaves out sudden changes, of capacitance those since ESR was measured', () => {
    // Of the fall of 0.1, 0.04 in one step: 0.3 / 0.06 = 5; of the rise of 0.3, 0.1 in one step: 2.
    const scatters = (seen: number, dC: number) => Math.hypot(0.02 / dC, (seen * 0.01) / dC);
    close(esrExponent(aged({ capacitanceSteps: [step(9, -0.04)] })), joined(5, scatters(5, 0.06)));
    close(esrExponent(aged({ capacitanceSteps: [step(2, -0.04)] })), joined(3, scatters(3, 0.1)));
    close(esrExponent(aged({ capacitanceSteps: [step(3, -0.04)] })), joined(5, scatters(5, 0.06)));
    close(esrExponent(aged({ esrSteps: [step(9, 0.1)] })), joined(2, scatters(2, 0.1)));
  });

  it('is what is usual where under twelve tests gave an ESR, none was, or capacitance fell by 2 % at most', () => {
    expect(esrExponent(aged({ esrTests: 11 }))).toEqual(prior);
    expect(esrExponent(aged({ esrTests: 12 }))).not.toEqual(prior);
    expect(esrExponent(aged({ esrLaw: null }))).toEqual(prior);
    expect(esrExponent(aged({}, [-0.019, 0.3]))).toEqual(prior);
    expect(esrExponent(aged({}, [0.1, 0.3]))).toEqual(prior);
    expect(esrExponent(aged({}, [-0.021, 0.3]))).not.toEqual(prior);
  });
});
