import { quantileSorted } from '@coldrounds/core';

/** Quantile by linear interpolation between order statistics (type 7 of Hyndman & Fan 1996); null of nothing. */
export function quantile(values: readonly number[], share: number): number | null {
  if (values.length === 0) return null;
  return quantileSorted(Float64Array.from(values).sort(), share);
}

export function distribution(values: readonly (number | null)[]) {
  const known = values.filter((value): value is number => value !== null);
  return {
    count: known.length,
    p10: quantile(known, 0.1),
    p25: quantile(known, 0.25),
    p50: quantile(known, 0.5),
    p75: quantile(known, 0.75),
    p90: quantile(known, 0.9),
  };
}

/** Items by cohort, cohorts in the order of their names with numbers in the order of numbers. */
export function cohorts<Item extends { cohort: string }>(items: readonly Item[]): [string, Item[]][] {
  const groups = new Map<string, Item[]>();
  for (const item of items) groups.set(item.cohort, [...(groups.get(item.cohort) ?? []), item]);
  return [...groups].sort(([a], [b]) => a.localeCompare(b, 'en', { numeric: true }));
}
