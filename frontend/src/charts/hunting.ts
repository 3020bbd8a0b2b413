import type { EChartsOption } from 'echarts';
import { decimals, formatDuration } from '../quantities/format-quantity.js';
import { clockWords } from '../quantities/site-time.js';
import { scaleOf, type UnitSystem } from '../quantities/unit-system.js';
import {
  acrossAxis,
  axisNumber,
  base,
  legend,
  legendIcons,
  openingEnds,
  limitLine,
  line,
  onClock,
  panelTitle,
  points,
  stretches,
  timeAxis,
  valueAxis,
  type Column,
} from './parts.js';
import type { ChartTheme } from './theme.js';

export interface TraceData {
  time_s: readonly number[];
  superheat_K: Column;
  valveOpening_pct: Column;
  superheatSetpoint_K: Column;
}

/** Every second cycle is shaded, so that one can be told from the next without colour. */
export function alternate<T>(cycles: readonly T[]): T[] {
  return cycles.filter((_, index) => index % 2 === 0);
}

export const traceHeight = 370;

/** A window's superheat and opening, each sample, with the detected cycles marked. */
export function traceOption(
  trace: TraceData,
  cycles: readonly { from_s: number; to_s: number }[],
  floodbackLimit_K: number,
  theme: ChartTheme,
  system: UnitSystem,
): EChartsOption {
  const difference = scaleOf('temperature-difference', system);
  const place = onClock(theme);
  const pairs = (column: Column, convert?: (value: number) => number) =>
    points(trace.time_s, column, { gap: 45, place, convert });
  const spans = alternate(cycles).map((cycle) => ({ from: place(cycle.from_s), to: place(cycle.to_s) }));
  // Both panels end where the window does, whatever was sent.
  const ends =
    trace.time_s.length > 1 ? { min: place(trace.time_s[0]), max: place(trace.time_s.at(-1)!) } : {};
  const superheat = line('Superheat', pairs(trace.superheat_K, difference.convert), { color: theme.plot[0] });
  superheat.markArea = stretches(theme, spans);
  superheat.markLine = limitLine(theme, difference.convert(floodbackLimit_K), 'floodback limit');
  const opening = line('Valve opening', pairs(trace.valveOpening_pct), { color: theme.plot[1], panel: 1 });
  opening.markArea = stretches(theme, spans);
  return {
    ...base(theme),
    title: [
      panelTitle(theme, `Superheat and setpoint, ${difference.unit}`, 4),
      panelTitle(theme, 'Valve opening, %', 208),
    ],
    grid: [
      { left: 44, right: 10, top: 30, height: 150 },
      { left: 44, right: 10, top: 238, height: 90 },
    ],
    xAxis: [
      timeAxis(theme, { gridIndex: 0, ...ends, axisLabel: { show: false } }),
      timeAxis(theme, { gridIndex: 1, ...ends }),
    ],
    yAxis: [valueAxis(theme, '', { gridIndex: 0 }), valueAxis(theme, '', { gridIndex: 1, ...openingEnds })],
    axisPointer: { link: [{ xAxisIndex: 'all' }] },
    tooltip: {
      ...base(theme).tooltip,
      formatter: (entries: unknown) => {
        const list = entries as { seriesName: string; value: [number, number | null]; axisIndex: number }[];
        const rows = list
          .filter((entry) => entry.value[1] !== null)
          .map(
            (entry) =>
              `${entry.seriesName} ${decimals(entry.value[1]!, 1)} ${entry.axisIndex === 1 ? '%' : difference.unit}`,
          );
        return [clockWords(list[0].value[0], 'second-of-day'), ...rows].join('<br>');
      },
    },
    series: [
      superheat,
      line('Setpoint', pairs(trace.superheatSetpoint_K, difference.convert), {
        color: theme.plot[2],
        dashed: true,
      }),
      opening,
    ],
  };
}

/** Autocorrelation over lag with the found period marked: a crest there is the cycle seen again. */
export function autocorrelationOption(
  curve: { lag_s: readonly number[]; value: Column },
  period_s: number | null,
  theme: ChartTheme,
): EChartsOption {
  const series = line('Autocorrelation', points(curve.lag_s, curve.value, { scaleX: 1 / 60 }), {
    color: theme.plot[0],
  });
  if (period_s !== null) series.markLine = periodMark(theme, period_s / 60, period_s);
  return {
    ...base(theme),
    grid: { left: 44, right: 14, top: 18, bottom: 44 },
    xAxis: acrossAxis(theme, 'lag, min', { min: 0 }),
    yAxis: valueAxis(theme, '', { min: -1, max: 1, interval: 0.5 }),
    tooltip: { ...base(theme).tooltip, valueFormatter: (value) => decimals(Number(value), 2) },
    series: [series],
  };
}

/** Normalised power over period, logarithmic across, with the found period marked. */
export function spectrumOption(
  spectrum: { period_s: readonly number[]; power: readonly number[] },
  period_s: number | null,
  theme: ChartTheme,
): EChartsOption {
  const pairs = points(spectrum.period_s, spectrum.power, { scaleX: 1 / 60 }).filter(
    ([x]) => x > 0 && Number.isFinite(x),
  );
  const series = line('Power', pairs, { color: theme.plot[0] });
  if (period_s !== null) series.markLine = periodMark(theme, period_s / 60, period_s);
  return {
    ...base(theme),
    grid: { left: 44, right: 14, top: 18, bottom: 44 },
    xAxis: {
      ...acrossAxis(theme, 'period, min'),
      type: 'log' as const,
      min: 'dataMin',
      max: 'dataMax',
      axisLabel: { ...acrossAxis(theme, '').axisLabel, showMinLabel: false, showMaxLabel: false },
    },
    yAxis: valueAxis(theme, '', { min: 0, axisLabel: { show: false } }),
    tooltip: { ...base(theme).tooltip, valueFormatter: (value) => axisNumber(Number(value)) },
    series: [series],
  };
}

function periodMark(theme: ChartTheme, at: number, period_s: number) {
  return {
    silent: true,
    symbol: 'none' as const,
    animation: false,
    lineStyle: { color: theme.limit, type: [4, 3], width: 1.2 },
    label: {
      formatter: `period ${formatDuration(period_s)}`,
      color: theme.limit,
      position: 'insideEndTop' as const,
      rotate: 0,
      align: 'left' as const,
    },
    data: [{ xAxis: at }],
  };
}

export interface LoopData {
  valveOpening_pct: readonly number[];
  superheat_K: readonly number[];
  meanCycle: readonly { valveOpening_pct: number; superheat_K: number }[];
}

/** Opening across, superheat up: the samples, and over them the mean cycle. An open loop says delay, flat sides say friction. */
export function loopOption(loop: LoopData, theme: ChartTheme, system: UnitSystem): EChartsOption {
  const difference = scaleOf('temperature-difference', system);
  const cycle = loop.meanCycle.map((point): [number, number] => [
    point.valveOpening_pct,
    difference.convert(point.superheat_K),
  ]);
  return {
    ...base(theme),
    grid: { left: 44, right: 14, top: 26, bottom: 44 },
    xAxis: acrossAxis(theme, 'valve opening, %', openingEnds),
    yAxis: valueAxis(theme, `superheat, ${difference.unit}`),
    tooltip: { show: false },
    series: [
      {
        type: 'scatter',
        name: 'Samples',
        data: loop.valveOpening_pct.map((opening, index): [number, number] => [
          opening,
          difference.convert(loop.superheat_K[index]),
        ]),
        symbolSize: 3,
        silent: true,
        itemStyle: { color: theme.plot[2], opacity: 0.45 },
        animation: false,
      },
      // Closed, so that the cycle reads as a loop.
      line('Mean cycle', cycle.length > 0 ? [...cycle, cycle[0]] : [], { color: theme.ink, width: 2.2 }),
    ],
  };
}

export interface FloorData {
  against: 'compressor-load' | 'valve-opening';
  parts: readonly {
    from: number;
    to: number;
    floor_K: number | null;
    uncertainty_K: number | null;
    /** False: the circuit might hold less. */
    bracketed: boolean;
    steadyWindows: number;
    huntingWindows: number;
    steadyHours: number;
  }[];
  points: readonly { from_s: number; at: number; superheat_K: number; hunting: boolean }[];
  floodbackLimit_K?: number;
}

/** Windows as points (filled: steady, hollow: hunting) and the floor as a stair: thick where claimed, thin where only bounded. */
export function floorOption(floor: FloorData, theme: ChartTheme, system: UnitSystem): EChartsOption {
  const difference = scaleOf('temperature-difference', system);
  const place = (entry: FloorData['points'][number]): [number, number] => [
    entry.at,
    difference.convert(entry.superheat_K),
  ];
  const hollow = { color: 'transparent', borderColor: theme.plot[1], borderWidth: 1.5 };
  const stair = (bracketed: boolean) =>
    floor.parts.flatMap((part): [number, number | null][] =>
      part.floor_K === null || part.bracketed !== bracketed
        ? [[part.from, null]]
        : [
            [part.from, difference.convert(part.floor_K)],
            [part.to, difference.convert(part.floor_K)],
          ],
    );
  return {
    ...base(theme),
    legend: legend(theme, [], {
      top: 4,
      left: 0,
      data: [
        { name: 'Steady window', icon: 'circle' },
        { name: 'Hunting window', icon: 'circle', itemStyle: hollow },
        { name: 'Steady floor', icon: legendIcons.solid },
        { name: 'Upper bound of the floor', icon: legendIcons.solid },
        { name: 'Floodback limit', icon: legendIcons.dashed },
      ],
      type: 'plain',
    }),
    grid: { left: 44, right: 14, top: 54, bottom: 44 },
    xAxis: acrossAxis(
      theme,
      floor.against === 'compressor-load' ? 'compressor load, %' : 'valve opening, %',
      { min: 0, max: 100 },
    ),
    yAxis: valueAxis(theme, `superheat, ${difference.unit}`, { min: 0 }),
    tooltip: {
      ...base(theme).tooltip,
      trigger: 'item',
      formatter: (entry: unknown) => {
        const { seriesName, value } = entry as { seriesName: string; value: [number, number] };
        return `${seriesName}: ${decimals(value[1], 1)} ${difference.unit} at ${decimals(value[0], 0)} %`;
      },
    },
    series: [
      {
        type: 'scatter',
        name: 'Steady window',
        data: floor.points.filter((entry) => !entry.hunting).map(place),
        symbolSize: 6,
        itemStyle: { color: theme.plot[0], opacity: 0.75 },
        animation: false,
      },
      {
        type: 'scatter',
        name: 'Hunting window',
        data: floor.points.filter((entry) => entry.hunting).map(place),
        symbol: 'circle',
        symbolSize: 8,
        itemStyle: hollow,
        animation: false,
      },
      line('Steady floor', stair(true), { color: theme.ink, width: 2.5 }),
      line('Upper bound of the floor', stair(false), { color: theme.ink, width: 1 }),
      line(
        'Floodback limit',
        floor.floodbackLimit_K === undefined
          ? []
          : [0, 100].map((at): [number, number] => [at, difference.convert(floor.floodbackLimit_K!)]),
        { color: theme.limit, width: 1.2, dashed: true },
      ),
    ],
  };
}
