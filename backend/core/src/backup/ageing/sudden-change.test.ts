import { describe, expect, it } from 'vitest';
import type { NormalisedTests } from './normalised-tests.js';
import type { Step } from './steps/index.js';
import { adjustedForSteps, findSuddenChange, lastStepIndex } from './sudden-change.js';

const step = (index: number, ratio: number, uncertainty = 0.01): Step => ({
  index,
  size: Math.log(ratio),
  uncertainty,
  tests: 3,
});

/** Ten daily tests of 0.8 F and 2 Ohm. */
const tests = (capacitanceSteps: Step[], esrSteps: Step[] = [], esrLaw = true) =>
  ({
    tests: new Array(10),
    time_s: Float64Array.from({ length: 10 }, (_, i) => 86_400 * i),
    temperature_K: new Float64Array(10).fill(298.15),
    lnCapacitance: new Float64Array(10).fill(Math.log(0.8)),
    esrLaw: esrLaw ? { smooth: () => new Float64Array(10).fill(Math.log(2)) } : null,
    capacitanceSteps,
    esrSteps,
  }) as unknown as NormalisedTests;
/** A reserve to reckon with: F less a hundredth of the Ohm. */
const reserve = (capacitance_F: number, esr_Ohm: number) => capacitance_F - esr_Ohm / 100;
const found = (...of: Parameters<typeof tests>) => findSuddenChange(tests(...of), reserve);

describe('capacitances before a sudden change', () => {
  it('are brought to the level after it, and after all that follow', () => {
    const of = adjustedForSteps(tests([step(2, 0.5), step(4, 0.8)]), new Float64Array(6).fill(1));
    expect([...of].map((value) => Number(value.toFixed(12)))).toEqual([0.4, 0.4, 0.8, 0.8, 1, 1]);
    expect([...adjustedForSteps(tests([]), Float64Array.of(1, 2))]).toEqual([1, 2]);
  });

  it('end with the last one, from which on the module is judged', () => {
    expect(lastStepIndex(tests([step(2, 0.5), step(4, 0.8)]))).toBe(4);
    expect(lastStepIndex(tests([]))).toBe(0);
  });
});

describe('a sudden change', () => {
  it('of capacitance by 0.8 has left 0.78 of the reserve of 0.98', () => {
    expect(found([step(6, 0.8, 0.02)])).toEqual({
      at_s: 6 * 86_400,
      tests: 4,
      capacitanceRatio: expect.closeTo(0.8, 9),
      capacitanceRatioUncertainty: expect.closeTo(0.016, 9),
      esrRatio: null,
      esrRatioUncertainty: null,
      reserveRatio: expect.closeTo(0.78 / 0.98, 9),
    });
  });

  it('of ESR by 4 has left 0.78 of 0.795', () => {
    expect(found([], [step(6, 4, 0.05)])).toMatchObject({
      capacitanceRatio: null,
      capacitanceRatioUncertainty: null,
      esrRatio: expect.closeTo(4, 9),
      esrRatioUncertainty: expect.closeTo(0.2, 9),
      reserveRatio: expect.closeTo(0.78 / 0.795, 9),
    });
  });

  it('is of both where they come within a test of each other, and else the later one', () => {
    const both = { capacitanceRatio: expect.closeTo(0.8, 9), esrRatio: expect.closeTo(4, 9) };
    expect(found([step(6, 0.8)], [step(7, 4)])).toMatchObject({ ...both, at_s: 7 * 86_400 });
    expect(found([step(7, 0.8)], [step(6, 4)])).toMatchObject({ ...both, at_s: 7 * 86_400 });
    expect(found([step(6, 0.8)], [step(6, 4)])).toMatchObject({ ...both, at_s: 6 * 86_400 });
    expect(found([step(4, 0.8)], [step(6, 4)])).toMatchObject({
      ...both,
      capacitanceRatio: null,
      at_s: 6 * 86_400,
    });
    expect(found([step(6, 0.8)], [step(4, 4)])).toMatchObject({ ...both, esrRatio: null, at_s: 6 * 86_400 });
  });

  it('is the last, and none where that one is for the better', () => {
    expect(found([step(2, 0.5), step(6, 0.8)])!.at_s).toBe(6 * 86_400);
    expect(found([step(2, 0.5), step(6, 1.25)])).toBeNull();
    expect(found([], [step(6, 0.5)])).toBeNull();
    expect(found([])).toBeNull();
  });

  it('leaves no ESR to reckon with where none was measured', () => {
    expect(found([step(6, 0.8)], [], false)!.reserveRatio).toBeCloseTo(0.8, 9);
    expect(findSuddenChange(tests([step(6, 0.8)]), () => 0)!.reserveRatio).toBe(0);
  });
});
