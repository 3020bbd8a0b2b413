import { ArgumentError } from '../../units/errors.js';
import {
  columnsOf,
  standardisedDifference,
  withCounterpart,
  type Column,
  type Covariate,
} from './covariates.js';
import { linearisedDifference, type WeightedComparison } from './linearised-difference.js';
import { designOf, effectiveNumber, fitPropensity, overlapWeights } from './overlap-weights.js';
import { resampledFigure, type ResampledFigure, type ResamplingOptions } from './unit-resampling.js';
import { weightedMeans } from './weighted-means.js';

/** Rows of two groups: what is compared of each, the unit that it belongs to, and in what else the groups may differ. */
export interface ComparedRows {
  unit: readonly string[];
  first: readonly boolean[];
  outcome: readonly number[];
  covariates: readonly Covariate[];
}

/** How unlike the groups are in one respect, before and after weighting. */
export interface Balance {
  name: string;
  word: string | null;
  before: number;
  after: number;
}

export interface GroupComparison {
  /** Mean of the first group less that of the second, like with like; null where nothing can be told. */
  difference: ResampledFigure | null;
  /** Why nothing can be told. */
  notTold: 'too-few' | 'unlike' | null;
  /** The same without any adjustment. */
  crude: number | null;
  /** Rows and units of the first and of the second group. */
  rows: [number, number];
  units: [number, number];
  /** As many rows of equal weight as each group amounts to after weighting. */
  effective: [number, number];
  /** Rows with a word, such as a valve size, that only their own group has: compared with nothing. */
  withoutCounterpart: [number, number];
  balance: Balance[];
}

/** Fewer units on a side than this, or fewer effective rows, tell nothing. Judgement, no source. */
export const leastCompared = 5;
/** From so many rows on the interval follows from the standard error, which then agrees with drawing units. */
const manyRows = 1000;
/** Groups more unlike than this after weighting are not compared (Stuart 2010, Stat. Sci. 25:1: 0.25). */
const mostUnlike = 0.25;

/**
 * Difference between two groups, like with like: rows without a counterpart are left out, the others weighted so that
 * both groups agree in all covariates (`overlapWeights`), and units drawn anew with the weights fitted again for the
 * interval. Nothing is told of under five units or effective rows on a side, or where the groups stay unlike.
 *
 * @example compareGroups({ unit, first, outcome, covariates: [{ name: 'load', values: load_pct }] }).difference
 */
export function compareGroups(all: ComparedRows, options: ResamplingOptions = {}): GroupComparison {
  const { unit, first, outcome, covariates } = all;
  const size = outcome.length;
  if ([unit, first, ...covariates.map(({ values }) => values)].some((column) => column.length !== size))
    throw new ArgumentError('rows', 'must have one entry of each for every outcome');
  const kept = withCounterpart(covariates, first);
  const rows = [...kept.keys()].filter((row) => kept[row]);
  const count = (of: (row: number) => boolean): [number, number] => {
    const places = first.map((_, row) => row).filter(of);
    const inFirst = places.filter((row) => first[row]).length;
    return [inFirst, places.length - inFirst];
  };
  const own = { unit: rows.map((row) => unit[row]!), first: rows.map((row) => first[row]!) };
  const result: GroupComparison = {
    difference: null,
    notTold: null,
    crude: difference(Float64Array.from(outcome), first, null),
    rows: count((row) => kept[row]!),
    units: [true, false].map(
      (group) => new Set(own.unit.filter((_, place) => own.first[place] === group)).size,
    ) as [number, number],
    effective: [0, 0],
    withoutCounterpart: count((row) => !kept[row]),
    balance: [],
  };
  if (Math.min(...result.units) < leastCompared) return { ...result, notTold: 'too-few' };
  return weighted(
    result,
    { ...own, outcome: Float64Array.from(rows, (row) => outcome[row]!) },
    columnsOf(covariates, rows),
    options,
  );
}

function weighted(
  result: GroupComparison,
  { unit, first, outcome }: { unit: string[]; first: boolean[]; outcome: Float64Array },
  columns: readonly Column[],
  options: ResamplingOptions,
): GroupComparison {
  const design = designOf(
    columns.map(({ values }) => values),
    outcome.length,
  );
  const fitted = fitPropensity(design, first);
  const weights = overlapWeights(design, first, fitted);
  const effective = [true, false].map((group) =>
    effectiveNumber([...weights].filter((_, row) => first[row] === group)),
  ) as [number, number];
  const balance = columns.map(({ name, word, values }) => ({
    name,
    word,
    before: standardisedDifference(values, first),
    after: standardisedDifference(values, first, weights),
  }));
  const found = { ...result, effective, balance };
  if (Math.min(...effective) < leastCompared || balance.some(({ after }) => !(Math.abs(after) <= mostUnlike)))
    return { ...found, notTold: 'unlike' };
  const names = [...new Set(unit)];
  const number = new Map(names.map((name, place) => [name, place]));
  const unitOf = unit.map((name) => number.get(name)!);
  // A unit may have circuits of both groups: such units are a stratum of their own.
  const stratumOf = new Array<number>(names.length).fill(0);
  unitOf.forEach((place, row) => (stratumOf[place]! |= first[row] ? 1 : 2));
  const degrees = Math.min(...result.units, ...effective) - 1;
  const compared = { design, first, outcome, fitted, weights, unitOf, stratumOf };
  const figure =
    outcome.length >= manyRows
      ? linearisedDifference(compared, degrees, options.level)
      : resampledDifference(compared, { ...options, degrees });
  return figure === null ? { ...found, notTold: 'unlike' } : { ...found, difference: figure };
}

/** The difference with an interval from drawing units, the weights fitted again in each draw. */
export const resampledDifference = (
  { design, first, outcome, fitted, unitOf, stratumOf }: WeightedComparison,
  options: ResamplingOptions & { degrees: number },
): ResampledFigure | null =>
  resampledFigure(
    unitOf,
    stratumOf,
    (counts) => {
      // From the fit of all rows two steps of Newton's method are enough.
      const anew = counts.every((value) => value === 1)
        ? fitted
        : fitPropensity(design, first, counts, fitted, 2);
      const own = overlapWeights(design, first, anew);
      for (let row = 0; row < own.length; row++) own[row]! *= counts[row]!;
      return difference(outcome, first, own);
    },
    options,
  );

function difference(
  outcome: Float64Array,
  first: readonly boolean[],
  weights: Float64Array | null,
): number | null {
  const { means, totals } = weightedMeans(outcome, first, weights);
  return totals[0] > 0 && totals[1] > 0 ? means[0] - means[1] : null;
}
