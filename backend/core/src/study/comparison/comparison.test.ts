import { describe, expect, it } from 'vitest';
import { normalDraws, seededRandom } from '../../numerics/index.js';
import { changeEffect, type ChangeRow } from './before-and-after.js';
import { compareGroups, resampledDifference } from './compare-groups.js';
import { standardisedDifference } from './covariates.js';
import { linearisedDifference } from './linearised-difference.js';
import { designOf, effectiveNumber, fitPropensity, movesAlong, overlapWeights } from './overlap-weights.js';
import { resampledFigure } from './unit-resampling.js';

const weightedMean = (values: readonly number[]) => (weights: Float64Array) => {
  let [sum, total] = [0, 0];
  values.forEach((value, row) => {
    sum += value * weights[row]!;
    total += weights[row]!;
  });
  return total === 0 ? null : sum / total;
};

/** Fraction of simulated fleets whose interval holds the truth. */
function coverage(
  fleets: number,
  one: (fleet: number) => { low: number; high: number } | null,
  truth: number,
): number {
  let [within, told] = [0, 0];
  for (let fleet = 0; fleet < fleets; fleet++) {
    const figure = one(fleet);
    if (figure === null) continue;
    told++;
    within += Number(figure.low <= truth && truth <= figure.high);
  }
  expect(told).toBeGreaterThan(0.9 * fleets);
  return within / told;
}

const holds = (share: number) => {
  expect(share).toBeGreaterThanOrEqual(0.9);
  expect(share).toBeLessThanOrEqual(0.98);
};

describe('an interval from drawing units', () => {
  it('of a mean is as wide as theory has it: 1.96 standard errors of the mean for many units', () => {
    const draw = normalDraws(seededRandom(3));
    const values = Array.from({ length: 400 }, draw);
    const places = values.map((_, row) => row);
    const { estimate, low, high } = resampledFigure(
      places,
      places.map(() => 0),
      weightedMean(values),
      { draws: 2000 },
    )!;
    const middle = values.reduce((sum, value) => sum + value, 0) / 400;
    const error = Math.sqrt(values.reduce((sum, value) => sum + (value - middle) ** 2, 0) / 399 / 400);
    expect(estimate).toBeCloseTo(middle, 9);
    expect((high - low) / 2 / error).toBeCloseTo(1.96, 0);
  });

  it('holds the truth for eight units of unlike numbers of rows, where drawing rows would not', () => {
    const draw = normalDraws(seededRandom(4));
    holds(
      coverage(
        300,
        (fleet) => {
          const units = Array.from({ length: 8 }, (_, unit) => ({ unit, level: draw() }));
          const rows = units.flatMap(({ unit, level }) =>
            Array.from({ length: 12 }, () => ({ unit, value: level + 0.3 * draw() })),
          );
          return resampledFigure(
            rows.map(({ unit }) => unit),
            units.map(() => 0),
            weightedMean(rows.map(({ value }) => value)),
            { draws: 300, seed: fleet },
          );
        },
        0,
      ),
    );
  });

  it('is not given of one unit', () => {
    expect(resampledFigure([0, 0, 0], [0], weightedMean([1, 2, 3]))).toBeNull();
  });
});

describe('how unlike groups are', () => {
  // By hand: means 2 and 5, both variances 1: a difference of three standard deviations.
  it('is the difference of means over the root of the mean variance', () => {
    const first = [true, true, true, false, false, false];
    expect(standardisedDifference(Float64Array.of(1, 2, 3, 4, 5, 6), first)).toBeCloseTo(-3, 9);
  });
  it('counts rows of unlike weight as fewer: 1, 1 and 2 as 16 / 6', () => {
    expect(effectiveNumber([1, 1, 2])).toBeCloseTo(16 / 6, 9);
  });
});

/** Superheat falls 0.1 K per % of load; the first group runs at higher load and is truly 1 K lower. */
function fleet(draw: () => number, uniform: () => number, count: number) {
  const rows = Array.from({ length: count }, (_, unit) => {
    const load = 60 + 15 * draw();
    const first = uniform() < 1 / (1 + Math.exp(-(load - 60) / 12));
    const size = uniform() < 0.5 ? 'small' : 'large';
    const outcome = 12 - 0.1 * load - (first ? 1 : 0) + (size === 'small' ? 1 : 0) + draw();
    return { unit: `u${unit}`, first, load, size, outcome };
  });
  return {
    unit: rows.map(({ unit }) => unit),
    first: rows.map(({ first }) => first),
    outcome: rows.map(({ outcome }) => outcome),
    covariates: [
      { name: 'load', values: rows.map(({ load }) => load) },
      { name: 'valve', values: rows.map(({ size }) => size) },
    ],
  };
}

describe('two groups compared like with like', () => {
  it('differ by the truth within the interval, and not by what load makes of it', () => {
    const [draw, uniform] = [normalDraws(seededRandom(8)), seededRandom(9)];
    const crude: number[] = [];
    const share = coverage(
      120,
      (seed) => {
        const found = compareGroups(fleet(draw, uniform, 80), { draws: 200, seed });
        crude.push(found.crude!);
        return found.difference;
      },
      -1,
    );
    holds(share);
    // Unadjusted it is some 2.2 K: load differs by about a standard deviation between the groups.
    expect(crude.reduce((sum, value) => sum + value, 0) / crude.length).toBeLessThan(-1.8);
  });

  it('agree in every covariate after weighting, and says how unlike they were', () => {
    const [draw, uniform] = [normalDraws(seededRandom(1)), seededRandom(2)];
    const { balance, effective, units } = compareGroups(fleet(draw, uniform, 400), { draws: 50 });
    const load = balance.find(({ name }) => name === 'load')!;
    expect(Math.abs(load.before)).toBeGreaterThan(0.7);
    for (const { after } of balance) expect(Math.abs(after)).toBeLessThan(0.001);
    expect(effective[0]).toBeLessThan(units[0]);
  });

  it('leaves out and counts what only one of them has', () => {
    const all = fleet(normalDraws(seededRandom(1)), seededRandom(2), 100);
    const valve = {
      name: 'valve',
      values: all.first.map((first, row) => (first && row % 3 === 0 ? 'huge' : 'small')),
    };
    const found = compareGroups({ ...all, covariates: [valve] }, { draws: 50 });
    expect(found.withoutCounterpart[0]).toBe(valve.values.filter((word) => word === 'huge').length);
    expect(found.withoutCounterpart[1]).toBe(0);
    expect(found.balance).toEqual([]);
  });

  it('tells nothing of four units, nor of groups that overlap nowhere', () => {
    const all = fleet(normalDraws(seededRandom(1)), seededRandom(2), 60);
    const few = all.first.map((_, row) => row < 4);
    expect(compareGroups({ ...all, first: few })).toMatchObject({ difference: null, notTold: 'too-few' });
    const apart = all.first.map((first) => (first ? 90 : 30));
    expect(
      compareGroups({ ...all, covariates: [{ name: 'load', values: apart }] }, { draws: 50 }),
    ).toMatchObject({
      difference: null,
      notTold: 'unlike',
    });
    const alone = all.first.map((first) => (first ? 'R1' : 'R2'));
    expect(compareGroups({ ...all, covariates: [{ name: 'refrigerant', values: alone }] })).toMatchObject({
      notTold: 'too-few',
      rows: [0, 0],
    });
  });

  it('takes a figure that is not known as a value of its own', () => {
    const all = fleet(normalDraws(seededRandom(1)), seededRandom(2), 200);
    const load = {
      name: 'load',
      values: all.covariates[0]!.values.map((value, row) => (row % 5 === 0 ? null : value)),
    };
    const { difference, balance } = compareGroups({ ...all, covariates: [load] }, { draws: 50 });
    expect(difference).not.toBeNull();
    expect(balance.map(({ word }) => word)).toEqual([null, 'not known']);
    const nothing = { name: 'ambient', values: all.first.map(() => null) };
    expect(compareGroups({ ...all, covariates: [nothing] }, { draws: 50 })).toMatchObject({
      notTold: null,
      balance: [],
    });
  });
});

describe('the effect of a change on those that had it', () => {
  /** Hunting falls by 2 for all in time, and by 3 more through the change; those that had it began higher. */
  function changes(draw: () => number, changed: number, others: number): ChangeRow[] {
    const cohorts = ['march', 'june'];
    const one = (unit: string, cohort: string, had: boolean, level: number): ChangeRow => ({
      unit,
      cohort,
      changed: had,
      before: level + draw(),
      after: level - (cohort === 'march' ? 2 : 4) - (had ? 3 : 0) + draw(),
    });
    return [
      ...Array.from({ length: changed }, (_, k) => one(`c${k}`, cohorts[k % 2]!, true, 20 + 4 * draw())),
      ...Array.from({ length: others }, (_, k) => ({ k, level: 10 + 4 * draw() })).flatMap(({ k, level }) =>
        cohorts.map((cohort) => one(`o${k}`, cohort, false, level)),
      ),
    ];
  }

  // By hand: (6 - 10) - (9 - 10) for five against five.
  it('is their change less that of the others', () => {
    const five = (prefix: string, changed: boolean, after: number) =>
      Array.from({ length: 5 }, (_, k) => ({
        unit: `${prefix}${k}`,
        cohort: 'may',
        changed,
        before: 10,
        after,
      }));
    const { effect, changedBy, othersBy, units } = changeEffect([
      ...five('a', true, 6),
      ...five('b', false, 9),
    ]);
    expect(effect).toEqual({ estimate: -3, low: -3, high: -3 });
    expect({ changedBy, othersBy, units }).toEqual({ changedBy: -4, othersBy: -1, units: [5, 5] });
  });

  // Card & Krueger 1994, Am. Econ. Rev. 84:772, table 3, row 3: full-time equivalents before and after.
  it('is 2.75 for the published means of New Jersey and Pennsylvania', () => {
    const state = (prefix: string, changed: boolean, before: number, after: number) =>
      Array.from({ length: 6 }, (_, k) => ({
        unit: `${prefix}${k}`,
        cohort: '1992',
        changed,
        before,
        after,
      }));
    const { effect } = changeEffect([
      ...state('nj', true, 20.44, 21.03),
      ...state('pa', false, 23.33, 21.17),
    ]);
    expect(effect!.estimate).toBeCloseTo(2.75, 9);
  });

  it('holds the truth within its interval, whatever befell all of them meanwhile', () => {
    const draw = normalDraws(seededRandom(21));
    holds(coverage(300, (seed) => changeEffect(changes(draw, 14, 25), { draws: 200, seed }).effect, -3));
  });

  it('is not told of four units, nor without others over the same dates', () => {
    const draw = normalDraws(seededRandom(22));
    expect(changeEffect(changes(draw, 4, 20))).toMatchObject({ effect: null, notTold: 'too-few' });
    expect(changeEffect(changes(draw, 12, 0))).toMatchObject({
      effect: null,
      notTold: 'too-few',
      units: [0, 0],
    });
  });
});

describe('the interval of many rows', () => {
  /** Two circuits to a unit that share its level; a unit may have one in each group. */
  function pairs(draw: () => number, uniform: () => number, units: number) {
    const rows = Array.from({ length: units }, (_, unit) => {
      const level = draw();
      const load = 60 + 15 * draw();
      return [0, 1].map(() => {
        const own = load + 4 * draw();
        const first = uniform() < 1 / (1 + Math.exp(-(own - 60) / 12));
        return { unit, first, load: own, outcome: 12 - 0.1 * own - (first ? 1 : 0) + level + 0.5 * draw() };
      });
    }).flat();
    return {
      unit: rows.map(({ unit }) => `u${unit}`),
      first: rows.map(({ first }) => first),
      outcome: rows.map(({ outcome }) => outcome),
      covariates: [{ name: 'load', values: rows.map(({ load }) => load) }],
    };
  }

  function prepared(units: number, seed: number) {
    const uniform = seededRandom(seed);
    const { first, outcome, covariates } = pairs(normalDraws(uniform), uniform, units);
    const design = designOf([Float64Array.from(covariates[0]!.values)], outcome.length);
    const fitted = fitPropensity(design, first);
    const unitOf = first.map((_, row) => row >> 1);
    const stratumOf = new Array<number>(units).fill(0);
    unitOf.forEach((unit, row) => (stratumOf[unit]! |= first[row] ? 1 : 2));
    const weights = overlapWeights(design, first, fitted);
    return { design, first, outcome: Float64Array.from(outcome), fitted, weights, unitOf, stratumOf };
  }

  it('is as wide as that from drawing units within 6 %, the scatter of 1500 draws', () => {
    for (const seed of [5, 6, 7]) {
      const compared = prepared(600, seed);
      const drawn = resampledDifference(compared, { draws: 1500, degrees: 500 })!;
      const direct = linearisedDifference(compared, 500)!;
      expect(direct.estimate).toBeCloseTo(drawn.estimate, 12);
      expect((direct.high - direct.low) / (drawn.high - drawn.low)).toBeGreaterThan(0.94);
      expect((direct.high - direct.low) / (drawn.high - drawn.low)).toBeLessThan(1.06);
    }
  });

  it('holds the truth', () => {
    const uniform = seededRandom(14);
    const draw = normalDraws(uniform);
    holds(coverage(300, () => compareGroups(pairs(draw, uniform, 500)).difference, -1));
  });

  it('moves as the fit does when one row counts twice', () => {
    const { design, first, fitted } = prepared(40, 8);
    const direction = Float64Array.of(0.7, -1.2);
    const moves = movesAlong(design, first, fitted, direction);
    for (const row of [0, 7, 31]) {
      const counts = new Float64Array(first.length).fill(1);
      counts[row]! += 1e-4;
      const again = fitPropensity(design, first, counts, fitted);
      const moved = again.reduce((sum, value, j) => sum + direction[j]! * (value - fitted[j]!), 0) / 1e-4;
      expect(moves[row]!).toBeCloseTo(moved, 4);
    }
  });
});
