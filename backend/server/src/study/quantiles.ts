import { quantileSorted } from '@coldrounds/core';
import { thinned } from '../pages/thinned.js';

/** Quantile by linear interpolation between order statistics (type 7 of Hyndman & Fan 1996); null of nothing. */
export function quantile(values: readonly number[], share: number): number | null {
  if (values.length === 0) return null;
  return quantileSorted(Float64Array.from(values).sort(), share);
}

const mostDrawn = 200;

/** What is drawn of the single values: all where they are few, else as many of them evenly taken in their order. */
const sample = (sorted: Float64Array): number[] =>
  thinned(sorted, mostDrawn).map((value) => Number(value.toPrecision(4)));

/** @param values null or NaN: not known. */
export function distribution(values: Iterable<number | null>) {
  const sorted = Float64Array.from(values, (value) => value ?? NaN)
    .filter((value) => !Number.isNaN(value))
    .sort();
  const at = (share: number) => (sorted.length === 0 ? null : quantileSorted(sorted, share));
  return {
    count: sorted.length,
    p10: at(0.1),
    p25: at(0.25),
    p50: at(0.5),
    p75: at(0.75),
    p90: at(0.9),
    sample: sample(sorted),
  };
}

/** Items by cohort, cohorts in the order of their names with numbers in the order of numbers. */
export function cohorts<Item extends { cohort: string }>(items: readonly Item[]): [string, Item[]][] {
  const groups = new Map<string, Item[]>();
  for (const item of items) {
    const group = groups.get(item.cohort);
    if (group === undefined) groups.set(item.cohort, [item]);
    else group.push(item);
  }
  return [...groups].sort(([a], [b]) => a.localeCompare(b, 'en', { numeric: true }));
}
