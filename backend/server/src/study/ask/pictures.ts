import { jeffreysInterval, quantileSorted } from '@coldrounds/core';
import { thinned } from '../../pages/thinned.js';
import { distribution } from '../quantiles.js';
import { nameOf, type Member } from './population.js';

/** Figures of fewer units than this are marked: they can turn on a single one. */
export const fewUnder = 5;

/** More groups than this are not told apart; the smallest are put together. */
const mostGroups = 12;
const mostPoints = 2000;

export interface Grouped {
  members: readonly Member[];
  /** Group of each member. */
  groups: readonly string[];
}

/** One for each member; NaN: not known. */
type Values = Float64Array;

/** Names of the groups in the order of their names, numbers by their size; the largest twelve, the others as one. */
export function groupsOf(members: readonly Member[], split: ((member: Member) => string) | null): string[] {
  if (split === null) return members.map(() => 'all');
  const names = members.map(split);
  const sizes = new Map<string, number>();
  for (const name of names) sizes.set(name, (sizes.get(name) ?? 0) + 1);
  if (sizes.size <= mostGroups) return names;
  const kept = new Set(
    [...sizes]
      .sort((a, b) => b[1] - a[1])
      .slice(0, mostGroups - 1)
      .map(([name]) => name),
  );
  return names.map((name) => (kept.has(name) ? name : 'others'));
}

/** Members by group, groups in the order of their names. */
function byGroup({ groups }: Grouped): [string, number[]][] {
  const places = new Map<string, number[]>();
  groups.forEach((group, place) => {
    const own = places.get(group);
    if (own === undefined) places.set(group, [place]);
    else own.push(place);
  });
  return [...places].sort(([a], [b]) => a.localeCompare(b, 'en', { numeric: true }));
}

/** Members of whom a figure is known. */
const known = (places: readonly number[], values: Values): number[] =>
  places.filter((place) => !Number.isNaN(values[place]));
export function unitsIn({ members }: Pick<Grouped, 'members'>, places: readonly number[]): number {
  const units = new Set<number>();
  let last = NaN;
  for (const place of places) {
    const { id } = members[place]!.unit;
    // Members of a unit mostly follow each other.
    if (id !== last) units.add((last = id));
  }
  return units.size;
}

/** Each group with the distribution of its members' figures. */
export const distributions = (grouped: Grouped, values: Values) =>
  byGroup(grouped).map(([group, places]) => ({
    group,
    units: unitsIn(grouped, known(places, values)),
    ...distribution(places.map((place) => values[place]!)),
  }));

/** One point for each member, and the middle of the points from left to right by groups of equal number. */
export function scatter(grouped: Grouped, across: Values, up: Values) {
  const both = byGroup(grouped).map(([group, places]) => ({
    group,
    places: known(known(places, across), up),
  }));
  const points = both.flatMap(({ group, places }) =>
    places.map((place) => ({
      ...nameOf(grouped.members[place]!),
      group,
      x: Number(across[place]!.toPrecision(6)),
      y: Number(up[place]!.toPrecision(6)),
    })),
  );
  return {
    points: thinned(points, mostPoints),
    shown: Math.min(points.length, mostPoints),
    total: points.length,
    middles: both.map(({ group, places }) => ({ group, bins: middles(grouped, places, across, up) })),
  };
}

const mostBins = 8;
const leastInBin = 10;

function middles(grouped: Grouped, places: readonly number[], across: Values, up: Values) {
  const ordered = [...places].sort((a, b) => across[a]! - across[b]!);
  const bins = Math.min(mostBins, Math.floor(ordered.length / leastInBin));
  return Array.from({ length: bins }, (_, bin) => {
    const own = ordered.slice(
      Math.floor((bin * ordered.length) / bins),
      Math.floor(((bin + 1) * ordered.length) / bins),
    );
    const at = (values: Values, share: number) =>
      quantileSorted(Float64Array.from(own, (place) => values[place]!).sort(), share);
    return {
      n: own.length,
      units: unitsIn(grouped, own),
      x: at(across, 0.5),
      p25: at(up, 0.25),
      p50: at(up, 0.5),
      p75: at(up, 0.75),
    };
  });
}

/** Each group over time: the middle of its members' figures in each period. */
export const trends = (grouped: Grouped, periods: readonly [number, number][], values: readonly Values[]) =>
  byGroup(grouped).map(([group, places]) => ({
    group,
    points: periods.map(([from_s, to_s], period) => {
      const own = known(places, values[period]!);
      const sorted = Float64Array.from(own, (place) => values[period]![place]!).sort();
      const at = (share: number) => (sorted.length === 0 ? null : quantileSorted(sorted, share));
      return {
        from_s,
        to_s,
        n: own.length,
        units: unitsIn(grouped, own),
        p25: at(0.25),
        p50: at(0.5),
        p75: at(0.75),
      };
    }),
  }));

/** Each group over time: which share of its members lies above a limit, with the 95 % interval of so many. */
export const shares = (
  grouped: Grouped,
  periods: readonly [number, number][],
  values: readonly Values[],
  over: number,
) =>
  byGroup(grouped).map(([group, places]) => ({
    group,
    points: periods.map(([from_s, to_s], period) => {
      const own = known(places, values[period]!);
      const above = own.filter((place) => values[period]![place]! > over).length;
      const interval = own.length === 0 ? null : jeffreysInterval(above, own.length);
      return {
        from_s,
        to_s,
        n: own.length,
        units: unitsIn(grouped, own),
        share: own.length === 0 ? null : above / own.length,
        low: interval?.low ?? null,
        high: interval?.high ?? null,
      };
    }),
  }));
