import { describe, expect, it } from 'vitest';
import { normaliseTests } from '../ageing/index.js';
import { closingDemand } from '../closing/index.js';
import { circuit, closing, day_s, module, start_s } from '../sample-modules.js';
import { historyPoints } from './reserve-history.js';
import { capacitancesAtReserve } from './reserve-limit.js';
import { reserveOf } from './reserve.js';

const history = (n: number, proof: (day: number) => boolean = () => false) => {
  const tests = Array.from({ length: n }, (_, day) => closing(day, { proof: proof(day) }));
  return historyPoints(
    normaliseTests(tests, 10)!,
    Float64Array.from({ length: n }, (_, day) => day),
  );
};

describe("the reserve's history", () => {
  it('has the last 60 tests one by one', () => {
    const points = history(60);
    expect(points).toHaveLength(60);
    expect(points.every(({ tests }) => tests === 1)).toBe(true);
    expect(points[59]).toMatchObject({ time_s: start_s + 59 * day_s, reserve: 59 });
  });

  it('has those further back in medians of at most 60 groups', () => {
    // 70 of 130 lie further back: pairs.
    const points = history(130, (day) => day === 1);
    expect(points).toHaveLength(35 + 60);
    expect(points[0]).toMatchObject({ reserve: 0.5, tests: 2, proof: true });
    expect(points[1]).toMatchObject({ reserve: 2.5, tests: 2, proof: false });
    expect(points[35]).toMatchObject({ reserve: 70, tests: 1 });
    // 121 of 181: threes, the last of them a single one.
    const threes = history(181);
    expect(threes).toHaveLength(41 + 60);
    expect(threes[0]).toMatchObject({ reserve: 1, tests: 3, time_s: start_s + day_s });
    expect(threes[40]).toMatchObject({ reserve: 120, tests: 1 });
  });

  it('is unsure by the scatter of the tests, a median of three by 1.25 / sqrt(3) of it', () => {
    // Tests whose scatter cannot be seen count as 1 %; their own uncertainty of 0.5 % is less.
    const threes = history(181);
    expect(threes[10]!.uncertainty! / threes[10]!.reserve).toBeCloseTo((0.01 * 1.25) / Math.sqrt(3), 9);
    expect(threes[100]!.uncertainty! / threes[100]!.reserve).toBeCloseTo(0.01, 9);
    const few = history(4);
    expect(few[3]!.uncertainty! / few[3]!.reserve).toBeCloseTo(0.005, 9);
  });
});

describe('the capacitance at which the reserve is down to a limit', () => {
  const demand = closingDemand(module, [circuit], 100);
  const now = { capacitance_F: 1, esr_Ohm: 0.5 };
  const at = (exponent: number, uncertainty: number, limit: number) =>
    capacitancesAtReserve(module, demand, 20, now, { exponent, uncertainty }, limit);

  it('leaves just that reserve, with ESR risen as a power of it and in a straight line', () => {
    const [power, straight] = at(2, 0, 1.5).slice(2);
    const reserve = (c: number, r: number) => reserveOf(module, demand, c, r, 20).reserve;
    expect(reserve(power!, 0.5 * power! ** -2)).toBeCloseTo(1.5, 3);
    expect(reserve(straight!, 0.5 * (1 + 2 * (1 - straight!)))).toBeCloseTo(1.5, 3);
    // Far on, the power rises faster, so that the limit comes sooner.
    expect(power!).toBeGreaterThan(straight!);
  });

  it('is in proportion to the limit where ESR stays', () => {
    const [one] = at(0, 0, 1);
    const [two] = at(0, 0, 2);
    expect(two! / one!).toBeCloseTo(2, 3);
  });

  it('comes as six: two ways of rising for each of three exponents, 1.22 uncertainties apart', () => {
    const six = at(2, 0.5, 1.5);
    expect(six).toHaveLength(6);
    expect(six[0]).toBeCloseTo(at(2 - 1.22 * 0.5, 0, 1.5)[0]!, 9);
    expect(six[4]).toBeCloseTo(at(2 + 1.22 * 0.5, 0, 1.5)[0]!, 9);
  });
});
