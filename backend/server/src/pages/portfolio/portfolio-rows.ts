import type { Estimate } from '@coldrounds/core';
import { noRegion } from '../../storage/repositories/findings/attention.repository.js';
import type { ChangedUnit } from '../../storage/repositories/findings/change.repository.js';
import type { SiteFigures } from '../../storage/repositories/portfolio.repository.js';
import { byCurrency, sumOf, type Money } from '../energy/energy.js';

export interface PortfolioRow {
  key: string;
  name: string;
  region: string | null;
  sites: number;
  units: number;
  byUrgency: number[];
  /** Null: judging is younger than what it is compared with. */
  change: number | null;
  modules: number;
  proven: number;
  circuits: number;
  upToDate: number;
  silent: number;
  notJudged: number;
  /** Samples of the last day that even intervals promise, and those of them that are missing. */
  expected: number;
  missing: number;
  /** Null: not told. */
  givenAway_J_week: Estimate | null;
  givenAwayCost_week: Money[];
}

export type PortfolioOrder = 'name' | 'urgency' | 'units' | 'change' | 'proven' | 'health' | 'energy';

/** From `watch` on nobody is asked to do anything. */
const calls = 3;

/** By site, how many more units ask something of someone than at the moment before. */
export function changeBySite(changed: readonly ChangedUnit[]): Map<number, number> {
  const sums = new Map<number, number>();
  for (const { siteId, before, now } of changed)
    sums.set(siteId, (sums.get(siteId) ?? 0) + Number(now < calls) - Number(before < calls));
  return sums;
}

export const siteRow = (
  site: SiteFigures,
  change: number | null,
  energy: { given: Estimate; cost: Money | null } | null = null,
): PortfolioRow => {
  const { siteId: _siteId, ...figures } = site;
  return {
    ...{ ...figures, sites: 1, change },
    givenAway_J_week: energy?.given ?? null,
    givenAwayCost_week: byCurrency([energy?.cost ?? null]),
  };
};

/** The same by region, each the sum of its sites; those without one make a row of their own. */
export function byRegion(rows: readonly PortfolioRow[]): PortfolioRow[] {
  const regions = new Map<string, PortfolioRow>();
  for (const row of rows) {
    const name = row.region ?? noRegion;
    const sum = regions.get(name);
    regions.set(
      name,
      sum === undefined
        ? { ...row, key: name, name }
        : {
            ...sum,
            sites: sum.sites + row.sites,
            units: sum.units + row.units,
            byUrgency: sum.byUrgency.map((units, place) => units + row.byUrgency[place]),
            change: sum.change === null || row.change === null ? null : sum.change + row.change,
            modules: sum.modules + row.modules,
            proven: sum.proven + row.proven,
            circuits: sum.circuits + row.circuits,
            upToDate: sum.upToDate + row.upToDate,
            silent: sum.silent + row.silent,
            notJudged: sum.notJudged + row.notJudged,
            expected: sum.expected + row.expected,
            missing: sum.missing + row.missing,
            givenAway_J_week: sumOf([sum, row].flatMap(({ givenAway_J_week }) => givenAway_J_week ?? [])),
            givenAwayCost_week: byCurrency([...sum.givenAwayCost_week, ...row.givenAwayCost_week]),
          },
    );
  }
  return [...regions.values()];
}

/** Rows whose name or region holds all of the words, which are in lower case. */
export const rowsWith = (rows: readonly PortfolioRow[], words: readonly string[]): PortfolioRow[] =>
  rows.filter(({ name, region }) => {
    const text = `${name} ${region ?? ''}`.toLowerCase();
    return words.every((word) => text.includes(word));
  });

/** Of nothing, all is proven and up to date, and nothing missing. */
const part = (some: number, all: number, ofNothing = 1) => (all === 0 ? ofNothing : some / all);

/** What comes first, first: most urgent, most units, most change for the worse, least proven, worst data. */
const ascending: Record<PortfolioOrder, (a: PortfolioRow, b: PortfolioRow) => number> = {
  name: () => 0,
  urgency: (a, b) =>
    b.byUrgency[0] - a.byUrgency[0] || b.byUrgency[1] - a.byUrgency[1] || b.byUrgency[2] - a.byUrgency[2],
  units: (a, b) => b.units - a.units,
  change: (a, b) => (b.change ?? 0) - (a.change ?? 0),
  proven: (a, b) => part(a.proven, a.modules) - part(b.proven, b.modules),
  health: (a, b) =>
    part(b.missing, b.expected, 0) - part(a.missing, a.expected, 0) ||
    b.silent - a.silent ||
    part(a.upToDate, a.circuits) - part(b.upToDate, b.circuits),
  energy: (a, b) => (b.givenAway_J_week?.value ?? 0) - (a.givenAway_J_week?.value ?? 0),
};

export function sortedRows(
  rows: readonly PortfolioRow[],
  by: PortfolioOrder,
  descending: boolean,
): PortfolioRow[] {
  const name = (a: PortfolioRow, b: PortfolioRow) => a.name.localeCompare(b.name, 'en', { numeric: true });
  const sorted = [...rows].sort((a, b) => ascending[by](a, b) || name(a, b));
  return descending ? sorted.reverse() : sorted;
}
