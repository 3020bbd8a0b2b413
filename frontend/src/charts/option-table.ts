import type { EChartsOption } from 'echarts';
import { clockText, rounded, type Table } from './evidence/table.js';

interface DrawnSeries {
  id?: string | number;
  name?: string | number;
  data?: unknown;
  /** A band is two lines on one stack: its lower edge, and how far the upper one lies over it. */
  stack?: string;
}
interface DrawnAxis {
  type?: string;
  name?: string;
}

const asList = <Item>(value: Item | Item[] | undefined): Item[] =>
  value === undefined ? [] : Array.isArray(value) ? value : [value];

/** Pairs of a series: what has no pair of numbers is no reading. */
const pairsOf = (data: unknown): [number, number | null][] =>
  asList(data as unknown[]).flatMap((item): [number, number | null][] => {
    const value = Array.isArray(item) ? item : (item as { value?: unknown } | null)?.value;
    if (!Array.isArray(value) || typeof value[0] !== 'number') return [];
    return [[value[0], typeof value[1] === 'number' && Number.isFinite(value[1]) ? value[1] : null]];
  });

/** The lines of a chart by name; of a band both edges. */
function linesOf(series: readonly DrawnSeries[]) {
  const lower = new Map(
    series
      .filter(({ name, stack }) => stack !== undefined && String(name).endsWith(' from'))
      .map(({ data, stack }) => [stack, new Map(pairsOf(data))]),
  );
  return series
    .map(({ name: given, data, stack }) => {
      const name = String(given ?? '');
      const pairs = pairsOf(data);
      const edge = lower.get(stack);
      if (stack === undefined || edge === undefined) return { name, pairs };
      if (name.endsWith(' from')) return { name: `${name.slice(0, -' from'.length)}, lower edge`, pairs };
      const upper = pairs.map(([x, over]): [number, number | null] => {
        const low = edge.get(x) ?? null;
        return [x, over === null || low === null ? null : low + over];
      });
      return { name: `${name}, upper edge`, pairs: upper };
    })
    .filter(({ pairs }) => pairs.length > 0);
}

/** Marks that are each of one thing with a name: a row for each, since two may lie at one place. */
function marksOf(series: readonly DrawnSeries[], across: string, up: string): Table {
  return {
    columns: ['name', 'group', across, up],
    rows: series.flatMap(({ name: group, data }) =>
      asList(data as { name: string; value: [number, number] }[]).map(
        ({ name, value }): (string | number | null)[] => [name, String(group), ...value.map(rounded)],
      ),
    ),
  };
}

/** Begins the id of a series whose marks each have the name of what they show. */
export const eachOne = 'each one of ';

const isNamed = ({ id }: DrawnSeries): boolean => String(id ?? '').startsWith(eachOne);

/** What a chart draws, as a table: a row for each place across, a column for each line; of marks with names one for each. */
export function optionTable(option: EChartsOption): Table {
  const drawn = asList(option.series) as DrawnSeries[];
  const [axis] = asList(option.xAxis as DrawnAxis | DrawnAxis[]);
  const [upright] = asList(option.yAxis as DrawnAxis | DrawnAxis[]);
  const named = drawn.filter(isNamed);
  if (named.length > 0) return marksOf(named, axis?.name || 'across', upright?.name || 'up');
  const series = linesOf(drawn);
  const isTime = axis?.type === 'time';
  const places = new Map<number, (number | null)[]>();
  series.forEach(({ pairs }, column) => {
    for (const [x, y] of pairs) {
      const row = places.get(x) ?? new Array<number | null>(series.length).fill(null);
      row[column] = y;
      places.set(x, row);
    }
  });
  const rows = [...places]
    .filter(([, row]) => row.some((value) => value !== null))
    .sort(([a], [b]) => a - b)
    .map(([x, row]) => [isTime ? clockText(x) : rounded(x), ...row.map(rounded)]);
  return {
    columns: [
      axis?.name || (isTime ? 'time, by the site’s clock' : 'across'),
      ...series.map(({ name }) => name),
    ],
    rows,
  };
}
