import type { EChartsOption, LineSeriesOption } from 'echarts';
import { decimals } from '../quantities/format-quantity.js';
import { clockOf_ms } from '../quantities/site-time.js';
import type { ChartTheme } from './theme.js';

export type Column = readonly (number | null)[];
export type Point = [number, number | null];

/** Pairs for a line; a step in time longer than `gap` breaks it, so that silence is not drawn as a slope. */
export function points(
  x: readonly number[],
  y: Column,
  {
    gap = Infinity,
    scaleX = 1,
    place = (at: number) => at * scaleX,
    convert = (value: number) => value,
  } = {},
): Point[] {
  const pairs: Point[] = [];
  for (let index = 0; index < x.length; index += 1) {
    if (index > 0 && x[index] - x[index - 1] > gap) pairs.push([place(x[index - 1] + gap / 2), null]);
    const value = y[index];
    pairs.push([place(x[index]), value === null || !Number.isFinite(value) ? null : convert(value)]);
  }
  return pairs;
}

/** Seconds since 1970 to where they lie on a time axis that shows the clock of the theme's zone. */
export const onClock =
  (theme: Pick<ChartTheme, 'zone'>) =>
  (epoch_s: number): number =>
    clockOf_ms(epoch_s * 1000, theme.zone);

interface LineOptions {
  color: string;
  width?: number;
  dashed?: boolean;
  panel?: number;
  step?: boolean;
}

export function line(name: string, data: Point[], options: LineOptions): LineSeriesOption {
  const { color, width = 1.5, dashed = false, panel = 0, step = false } = options;
  return {
    type: 'line',
    name,
    data,
    xAxisIndex: panel,
    yAxisIndex: panel,
    showSymbol: false,
    connectNulls: false,
    step: step ? 'end' : false,
    sampling: undefined,
    itemStyle: { color },
    lineStyle: { color, width, type: dashed ? [5, 4] : 'solid' },
    emphasis: { disabled: true },
    animation: false,
  };
}

/** Two stacked lines whose filled difference is the band between `low` and `high`; both carry the name of the band. */
export function band(
  name: string,
  low: Point[],
  high: Point[],
  color: string,
  panel = 0,
  opacity = 1,
): LineSeriesOption[] {
  const difference = high.map(([x, top], index): Point => {
    const bottom = low[index][1];
    return [x, top === null || bottom === null ? null : top - bottom];
  });
  const base = {
    stack: `band ${name}`,
    stackStrategy: 'all' as const,
    silent: true,
    tooltip: { show: false },
  };
  return [
    { ...line(`${name} from`, low, { color, panel }), ...base, lineStyle: { opacity: 0 } },
    {
      ...line(name, difference, { color, panel }),
      ...base,
      lineStyle: { opacity: 0 },
      areaStyle: { color, opacity },
    },
  ];
}

const label = (theme: ChartTheme) => ({ color: theme.quiet, fontSize: 12, fontFamily: theme.font });

/** The words over one of several panels. */
export const panelTitle = (theme: ChartTheme, text: string, top: number) => ({
  text,
  left: 0,
  top,
  padding: 0,
  textStyle: { color: theme.ink, fontSize: 14, fontWeight: 600 as const, fontFamily: theme.font },
});

/** As many decimals as the number has, up to four: the steps of an axis are round numbers, so none gets more than it needs. */
export function axisNumber(value: number): string {
  for (let digits = 0; digits < 4; digits += 1)
    if (Math.abs(value - Number(value.toFixed(digits))) < 1e-6) return decimals(value, digits);
  return decimals(value, 4);
}

export function valueAxis(theme: ChartTheme, name: string, extra: Record<string, unknown> = {}) {
  return {
    type: 'value' as const,
    name,
    nameLocation: 'end' as const,
    nameGap: 10,
    nameTextStyle: { ...label(theme), align: 'left' as const, padding: [0, 0, 0, -30] },
    scale: true,
    splitNumber: 4,
    axisLabel: { ...label(theme), formatter: axisNumber, hideOverlap: true },
    axisLine: { show: false },
    axisTick: { show: false },
    splitLine: { lineStyle: { color: theme.hair, width: 1 } },
    ...extra,
  };
}

/** Ends of an axis of valve openings: those that were seen, with a little room, and never beyond shut or fully open. */
export const openingEnds = {
  min: ({ min }: { min: number }) => Math.max(0, Math.floor((min - 5) / 10) * 10),
  max: ({ max }: { max: number }) => Math.min(100, Math.ceil((max + 5) / 10) * 10),
};

/** A horizontal axis of plain numbers with its name under it. */
export function acrossAxis(theme: ChartTheme, name: string, extra: Record<string, unknown> = {}) {
  return {
    type: 'value' as const,
    name,
    nameLocation: 'middle' as const,
    nameGap: 28,
    nameTextStyle: label(theme),
    scale: true,
    axisLabel: { ...label(theme), formatter: axisNumber, hideOverlap: true },
    axisLine: { lineStyle: { color: theme.quiet } },
    axisTick: { lineStyle: { color: theme.quiet } },
    splitLine: { show: false },
    ...extra,
  };
}

/** A day among hours is named with its month; the library's own label is the bare number of the day. */
export const timeLabels = { year: '{yyyy}', month: '{d} {MMM}', day: '{d} {MMM}' };

export function timeAxis(theme: ChartTheme, extra: Record<string, unknown> = {}) {
  return {
    type: 'time' as const,
    axisLabel: { ...label(theme), hideOverlap: true, formatter: timeLabels },
    axisLine: { lineStyle: { color: theme.quiet } },
    axisTick: { lineStyle: { color: theme.quiet } },
    splitLine: { show: false },
    ...extra,
  };
}

export function base(theme: ChartTheme): EChartsOption {
  return {
    // Times are moved to the site's clock before they are drawn.
    useUTC: true,
    animation: false,
    backgroundColor: 'transparent',
    textStyle: { fontFamily: theme.font, color: theme.ink },
    tooltip: {
      trigger: 'axis',
      confine: true,
      backgroundColor: theme.paper,
      borderColor: theme.quiet,
      textStyle: { color: theme.ink, fontFamily: theme.font, fontSize: 13 },
      axisPointer: { type: 'line', lineStyle: { color: theme.quiet, type: 'solid', width: 1 } },
    },
  };
}

/** Each icon spans 20 by 14, so that no text beside it is cut by a legend as high as its icons. */
const box = 'path://M0 0M20 14';
export const legendIcons = {
  solid: `${box}M0 6h20v2H0z`,
  dashed: `${box}M0 6h8v2H0zM12 6h8v2h-8z`,
  band: `${box}M0 3h20v8H0z`,
};

/** Names with the look of their line: solid, dashed or a band, so that the legend reads without colour. */
export function legend(
  theme: ChartTheme,
  lines: readonly LineSeriesOption[],
  extra: Record<string, unknown> = {},
) {
  return {
    data: lines
      .filter((entry) => !String(entry.name).endsWith(' from'))
      .map((entry) => ({
        name: String(entry.name),
        icon: entry.areaStyle
          ? legendIcons.band
          : Array.isArray(entry.lineStyle?.type)
            ? legendIcons.dashed
            : legendIcons.solid,
      })),
    itemWidth: 20,
    itemHeight: 14,
    itemGap: 12,
    padding: 0,
    textStyle: { ...label(theme) },
    inactiveColor: theme.hair,
    selectedMode: true,
    ...extra,
  };
}

/** A dashed level with its words at the end. */
export function limitLine(theme: ChartTheme, level: number, words: string, position = 'insideEndTop') {
  return {
    silent: true,
    symbol: 'none' as const,
    animation: false,
    lineStyle: { color: theme.limit, type: [4, 3] as number[], width: 1.2 },
    label: {
      formatter: words,
      position: position as 'insideEndTop',
      color: theme.limit,
      fontSize: 12,
      fontFamily: theme.font,
    },
    data: [{ yAxis: level }],
  };
}

/** Stretches shaded along the horizontal axis. */
export function stretches(
  theme: ChartTheme,
  spans: readonly { from: number; to: number }[],
  color = theme.mark,
) {
  return {
    silent: true,
    animation: false,
    itemStyle: { color },
    data: spans.map(
      ({ from, to }) => [{ xAxis: from }, { xAxis: to }] as [{ xAxis: number }, { xAxis: number }],
    ),
  };
}
