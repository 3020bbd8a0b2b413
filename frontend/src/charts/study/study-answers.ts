import type { EChartsOption } from 'echarts';
import { decimals } from '../../quantities/format-quantity.js';
import { eachOne } from '../option-table.js';
import { acrossAxis, band, base, legend, line, onClock, timeAxis, valueAxis, type Point } from '../parts.js';
import type { ChartTheme } from '../theme.js';

/** A number of the answer as it is shown. */
type Convert = (value: number) => number;

const symbols = ['circle', 'diamond', 'triangle', 'rect', 'emptyCircle', 'emptyDiamond', 'emptyRect'];
const dashes: (string | number[])[] = ['solid', [6, 4], [2, 3], [9, 3, 2, 3], [12, 4]];

const colourOf = (theme: ChartTheme, index: number) => theme.plot[index % theme.plot.length]!;
/** Where the colours begin again, the dashes are others: no two of up to 25 groups look alike. */
const dashOf = (theme: ChartTheme, index: number) =>
  dashes[(index + Math.floor(index / theme.plot.length)) % dashes.length] as 'solid';
/** Words of the registry in a tip, which is HTML. */
const plain = (words: string): string => words.replace(/[&<>"]/g, (sign) => `&#${sign.charCodeAt(0)};`);
const room = (groups: number) => ({ left: 52, right: 16, top: groups > 4 ? 88 : 56, bottom: 48 });

export interface ScatterGroup {
  group: string;
  points: readonly { x: number; y: number; name: string }[];
  middles: readonly { x: number; p50: number; n: number; units: number }[];
}

/** A mark for each circuit or module, told apart by shape as well as by tone, and a line through the middles of the groups. */
export function scatterOption(
  groups: readonly ScatterGroup[],
  axes: { across: string; up: string; convertX: Convert; convertY: Convert },
  theme: ChartTheme,
): EChartsOption {
  const { across, up, convertX, convertY } = axes;
  const series = groups.flatMap(({ group, points, middles }, index) => {
    const color = colourOf(theme, index);
    const middle = {
      ...line(`${group}, median`, [], { color, width: 2 }),
      id: `${eachOne}${group}, median`,
      lineStyle: { color, width: 2, type: dashOf(theme, index) },
      showSymbol: true,
      symbolSize: 6,
      // What the line goes through says how many are behind it.
      data: middles.map(({ x, p50, n, units }) => ({
        value: [convertX(x), convertY(p50)],
        name: `median of ${n}, in ${units} units`,
        symbol: units < fewUnder ? 'emptyCircle' : 'circle',
      })),
    };
    return [
      {
        type: 'scatter' as const,
        id: `${eachOne}${group}`,
        name: group,
        symbol: symbols[index % symbols.length],
        symbolSize: 7,
        itemStyle: { color, opacity: 0.75 },
        animation: false,
        data: points.map(({ x, y, name }) => ({ value: [convertX(x), convertY(y)], name })),
      },
      ...(middles.length > 1 ? [middle] : []),
    ];
  });
  return {
    ...base(theme),
    legend: legend(theme, [], { top: 4, left: 0, data: groups.map(({ group }) => ({ name: group })) }),
    grid: room(groups.length),
    xAxis: acrossAxis(theme, across),
    yAxis: valueAxis(theme, up),
    tooltip: {
      ...base(theme).tooltip,
      trigger: 'item',
      formatter: (item) => {
        const { name, value } = item as unknown as { name: string; value: [number, number] };
        return `${plain(name)}<br>${decimals(value[0], 2)}, ${decimals(value[1], 2)}`;
      },
    },
    series,
  };
}

export interface CourseGroup {
  group: string;
  points: readonly {
    time_s: number;
    /** Units behind it, and how many circuits or modules of theirs. */
    n: number;
    members: number;
    low: number | null;
    middle: number | null;
    high: number | null;
  }[];
}

/** Figures of fewer units than this are marked. */
export const fewUnder = 5;

const day_ms = 86_400_000;

/** About a single period half a month either side, as there is no span to show. */
function around(groups: readonly CourseGroup[], place: (time_s: number) => number) {
  const times = new Set(groups.flatMap(({ points }) => points.map(({ time_s }) => place(time_s))));
  const [only] = times;
  return times.size === 1 ? { min: only! - 15 * day_ms, max: only! + 15 * day_ms } : {};
}

/** A line for each group over time; how many are behind a point in its tip, and an open mark where they are few. */
export function courseOption(
  groups: readonly CourseGroup[],
  axes: { up: string; convert: Convert; bands: boolean },
  theme: ChartTheme,
): EChartsOption {
  const place = onClock(theme);
  const shown = (value: number | null) => (value === null ? null : axes.convert(value));
  const series = groups.flatMap(({ group, points }, index) => {
    const color = colourOf(theme, index);
    const at = (of: (point: CourseGroup['points'][number]) => number | null) =>
      points.map((point): Point => [place(point.time_s) * 1, shown(of(point))]);
    const middle = line(
      group,
      at(({ middle: value }) => value),
      { color, width: 2 },
    );
    const data = points.map((point) => ({
      value: [place(point.time_s), shown(point.middle)],
      name: `${point.members} in ${point.n} units`,
      symbol: point.n < fewUnder ? 'emptyCircle' : symbols[index % 4],
    }));
    return [
      ...(axes.bands && groups.length <= 2
        ? band(
            `${group}, spread`,
            at(({ low }) => low),
            at(({ high }) => high),
            color,
            0,
            0.16,
          )
        : []),
      {
        ...middle,
        data,
        showSymbol: true,
        symbolSize: 7,
        lineStyle: { color, width: 2, type: dashOf(theme, index) },
      },
    ];
  });
  return {
    ...base(theme),
    legend: legend(theme, [], { top: 4, left: 0, data: groups.map(({ group }) => ({ name: group })) }),
    grid: room(groups.length),
    xAxis: { ...timeAxis(theme), minInterval: day_ms, ...around(groups, place) },
    yAxis: valueAxis(theme, axes.up),
    tooltip: {
      ...base(theme).tooltip,
      formatter: (items) => {
        const shownItems = [items].flat() as unknown as {
          seriesName: string;
          marker: string;
          axisValueLabel: string;
          data: { value: [number, number | null]; name?: string };
        }[];
        const lines = shownItems.flatMap(({ seriesName, marker, data }) =>
          data.name === undefined || data.value[1] === null
            ? []
            : [`${marker}${plain(seriesName)}: ${decimals(data.value[1], 2)} (${data.name})`],
        );
        return [shownItems[0]?.axisValueLabel ?? '', ...lines].join('<br>');
      },
    },
    series,
  };
}

export interface SurvivalGroup {
  group: string;
  seenUntil: number;
  steps: readonly { age: number; survival: number; low: number; high: number }[];
}

/** Steps of survival over age, each group to the oldest age that was watched; the 95 % interval of one or two as a band. */
export function survivalOption(
  groups: readonly SurvivalGroup[],
  across: string,
  theme: ChartTheme,
): EChartsOption {
  const series = groups.flatMap(({ group, steps, seenUntil }, index) => {
    const color = colourOf(theme, index);
    const course = (of: (step: SurvivalGroup['steps'][number]) => number): Point[] => {
      const own: Point[] = [[0, 100], ...steps.map((step): Point => [step.age, 100 * of(step)])];
      return [...own, [seenUntil, own.at(-1)![1]]];
    };
    const middle = line(
      group,
      course(({ survival }) => survival),
      { color, width: 2, step: true },
    );
    middle.lineStyle = { color, width: 2, type: dashOf(theme, index) };
    const edges = groups.length > 2 ? [] : [course(({ low }) => low), course(({ high }) => high)];
    return [
      middle,
      ...edges.map((data, edge) =>
        line(`${group}, ${edge === 0 ? 'lower' : 'upper'} end of the interval`, data, {
          color,
          width: 1,
          step: true,
          dashed: true,
        }),
      ),
    ];
  });
  return {
    ...base(theme),
    legend: legend(theme, [], { top: 4, left: 0, data: groups.map(({ group }) => ({ name: group })) }),
    grid: room(groups.length),
    xAxis: acrossAxis(theme, across, { min: 0 }),
    yAxis: valueAxis(theme, 'above the limit, %', { min: 0, max: 100, interval: 25 }),
    tooltip: {
      ...base(theme).tooltip,
      valueFormatter: (value) => (value === null || value === undefined ? '–' : decimals(Number(value), 1)),
    },
    series,
  };
}
