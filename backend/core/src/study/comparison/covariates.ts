import { mean, standardDeviation } from '../../numerics/index.js';

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
  const words = covariates.filter((covariate) => !isNumber(covariate));
  for (let again = true; again;) {
    again = false;
    for (const { values } of words) {
      const [inFirst, inSecond] = [true, false].map(
        (group) =>
          new Set(values.filter((_, row) => kept[row] && first[row] === group).map((value) => wordOf(value))),
      );
      values.forEach((value, row) => {
        const word = wordOf(value);
        if (!kept[row] || (inFirst!.has(word) && inSecond!.has(word))) return;
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
      const marks = (word: string): Column => ({
        name,
        word,
        values: Float64Array.from(values, (value) => Number(wordOf(value) === word)),
      });
      if (!isNumber(covariate)) return [...new Set(values.map(wordOf))].sort().map(marks);
      const known = mean(values.map((value) => (value === null ? NaN : (value as number))));
      const numbers = Float64Array.from(values, (value) => (value === null ? known : (value as number)));
      return [{ name, word: null, values: numbers }, ...(values.includes(null) ? [marks(notKnown)] : [])];
    })
    .filter(({ values }) => values.some((value) => value !== values[0]));
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
  const of = (group: boolean) => [...values.keys()].filter((row) => first[row] === group);
  const spread = (group: boolean) => standardDeviation(of(group).map((row) => values[row]!));
  const middle = (group: boolean) => {
    let [sum, total] = [0, 0];
    for (const row of of(group)) {
      sum += (weights?.[row] ?? 1) * values[row]!;
      total += weights?.[row] ?? 1;
    }
    return sum / total;
  };
  const pooled = Math.sqrt((spread(true) ** 2 + spread(false) ** 2) / 2);
  const off = middle(true) - middle(false);
  if (Math.abs(off) < 1e-12) return 0;
  return pooled > 0 ? off / pooled : Math.sign(off) * Infinity;
}
