import { mean, standardDeviation } from '../../numerics/index.js';
import { weightedMeans } from './weighted-means.js';

/** What may differ between groups beside what is compared: a number of each row, or a word. Null: not known. */
export interface Covariate {
  name: string;
  values: readonly (number | string | null)[];
}

/** A column that groups are compared on: a number, or 1 and 0 for rows that have a word. */
export interface Column {
  /** Name of its covariate, and of the word. */
  name: string;
  word: string | null;
  values: Float64Array;
}

/** Word for what is not known. */
export const notKnown = 'not known';

const isNumber = ({ values }: Covariate) =>
  values.every((value) => value === null || typeof value === 'number');
const wordOf = (value: number | string | null) => (value === null ? notKnown : String(value));

/**
 * Rows that have a counterpart: those with a word that only one of the groups has can be compared with nothing, and each
 * that goes may take another's only counterpart with it.
 */
export function withCounterpart(covariates: readonly Covariate[], first: readonly boolean[]): boolean[] {
  const kept = first.map(() => true);
  const words = covariates
    .filter((covariate) => !isNumber(covariate))
    .map(({ values }) => values.map((value) => wordOf(value)));
  for (let again = true; again;) {
    again = false;
    for (const column of words) {
      const [inFirst, inSecond] = [new Set<string>(), new Set<string>()];
      column.forEach((word, row) => {
        if (kept[row]) (first[row] ? inFirst : inSecond).add(word);
      });
      column.forEach((word, row) => {
        if (!kept[row] || (inFirst.has(word) && inSecond.has(word))) return;
        kept[row] = false;
        again = true;
      });
    }
  }
  return kept;
}

/**
 * Columns of the covariates of some rows: numbers as they are, with a column that says where one is not known and the
 * mean in its place; a column for each word. What is the same in
 * all rows, or known of none, is left out.
 */
export function columnsOf(covariates: readonly Covariate[], rows: readonly number[]): Column[] {
  return covariates
    .flatMap((covariate): Column[] => {
      const { name } = covariate;
      const values = rows.map((row) => covariate.values[row] ?? null);
      if (values.every((value) => value === null)) return [];
      if (!isNumber(covariate)) return columnsOfWords(name, values.map(wordOf));
      const known = mean(values.map((value) => (value === null ? NaN : (value as number))));
      const numbers = Float64Array.from(values, (value) => (value === null ? known : (value as number)));
      const unknown = Float64Array.from(values, (value) => (value === null ? 1 : 0));
      return [
        { name, word: null, values: numbers },
        { name, word: notKnown, values: unknown },
      ];
    })
    .filter(({ values }) => values.some((value) => value !== values[0]));
}

function columnsOfWords(name: string, words: readonly string[]): Column[] {
  const columns = new Map<string, Float64Array>();
  words.forEach((word, row) => {
    let own = columns.get(word);
    if (own === undefined) columns.set(word, (own = new Float64Array(words.length)));
    own[row] = 1;
  });
  return [...columns].sort(([a], [b]) => (a < b ? -1 : 1)).map(([word, values]) => ({ name, word, values }));
}

/**
 * How unlike two groups are in a column: difference of their means over the root of their mean variance, before any
 * weighting (standardised mean difference: Austin 2009, Stat. Med. 28:3083; above 0.1 is commonly called unlike).
 */
export function standardisedDifference(
  values: Float64Array,
  first: readonly boolean[],
  weights: Float64Array | null = null,
): number {
  const [inFirst, inSecond] = [true, false].map((group) => values.filter((_, row) => first[row] === group));
  const { means } = weightedMeans(values, first, weights);
  const pooled = Math.sqrt((standardDeviation(inFirst!) ** 2 + standardDeviation(inSecond!) ** 2) / 2);
  const off = means[0] - means[1];
  if (Math.abs(off) < 1e-12) return 0;
  return pooled > 0 ? off / pooled : Math.sign(off) * Infinity;
}
