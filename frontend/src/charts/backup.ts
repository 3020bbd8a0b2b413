import type { EChartsOption, LineSeriesOption } from 'echarts';
import { decimals } from '../quantities/format-quantity.js';
import { clockWords } from '../quantities/site-time.js';
import {
  acrossAxis,
  band,
  base,
  legend,
  legendIcons,
  line,
  limitLine,
  onClock,
  points,
  timeAxis,
  valueAxis,
  type Column,
  type Point,
} from './parts.js';
import type { ChartTheme } from './theme.js';

export interface ReserveData {
  history: readonly { time_s: number; reserve: number; uncertainty: number | null; proof: boolean }[];
  forecast: {
    limits: readonly {
      limit: number;
      date_s: { p10: number; p50: number; p90: number } | null;
      openEnded: boolean;
    }[];
  } | null;
}

/** Limits of the closing reserve: fading below the first, unable to close below the second. */
export const reserveLimits = [1.5, 1] as const;

function reserveLine(history: Point[], theme: ChartTheme): LineSeriesOption {
  const reserve = line('Closing reserve', history, { color: theme.plot[2], width: 1.2 });
  reserve.showSymbol = history.length < 60;
  reserve.z = 3;
  reserve.symbolSize = 4;
  reserve.markLine = {
    ...limitLine(theme, reserveLimits[0], '', 'insideStartTop'),
    data: [
      { yAxis: reserveLimits[0], label: { formatter: '1.5: fading below this' } },
      { yAxis: reserveLimits[1], label: { formatter: '1.0: cannot close fully below this' } },
    ],
  };
  return reserve;
}

/**
 * Closing reserve over the calendar: a point per test with its uncertainty (two standard) as a band, the two limits,
 * and where the forecast puts the crossing of each, as a range lying on that limit.
 */
export function reserveOption(data: ReserveData, theme: ChartTheme): EChartsOption {
  const place = onClock(theme);
  const x = data.history.map((entry) => entry.time_s);
  const column = (pick: (entry: ReserveData['history'][number]) => number | null) =>
    points(x, data.history.map(pick), { place });
  const reach = (sign: number) =>
    column((entry) => (entry.uncertainty === null ? null : entry.reserve + sign * 2 * entry.uncertainty));
  const crossings = (data.forecast?.limits ?? []).filter((entry) => entry.date_s !== null);
  const reserve = reserveLine(
    column((entry) => entry.reserve),
    theme,
  );
  return {
    ...base(theme),
    legend: legend(theme, [], {
      top: 4,
      left: 0,
      data: [
        { name: 'Closing reserve', icon: legendIcons.solid },
        { name: 'Uncertainty, two standard', icon: 'rect' },
        { name: 'Valve seen to shut', icon: 'diamond' },
        ...(crossings.length > 0 ? [{ name: 'Expected crossing, P10 to P90', icon: 'rect' }] : []),
      ],
    }),
    grid: { left: 40, right: 14, top: 54, bottom: 30 },
    xAxis: timeAxis(theme),
    yAxis: valueAxis(theme, '', {
      min: 0,
      // Both limits are always in the picture.
      max: (extent: { max: number }) => Math.ceil(Math.max(extent.max * 1.05, reserveLimits[0] + 0.1)),
    }),
    tooltip: {
      ...base(theme).tooltip,
      trigger: 'item',
      formatter: (entry: unknown) => {
        const { seriesName, value } = entry as { seriesName: string; value: [number, number] };
        return `${clockWords(value[0], 'day')}<br>${seriesName} ${decimals(value[1], 2)}`;
      },
    },
    series: [
      ...band('Uncertainty, two standard', reach(-1), reach(1), theme.band),
      reserve,
      {
        type: 'scatter',
        name: 'Valve seen to shut',
        data: data.history
          .filter((entry) => entry.proof)
          .map((entry) => [place(entry.time_s), entry.reserve]),
        symbol: 'diamond',
        symbolSize: data.history.length > 120 ? 4 : 7,
        itemStyle: { color: theme.good },
        animation: false,
      },
      ...crossings.map((entry) => ({
        ...line(
          'Expected crossing, P10 to P90',
          [
            [place(entry.date_s!.p10), entry.limit],
            [place(entry.date_s!.p50), entry.limit],
            [place(entry.date_s!.p90), entry.limit],
          ],
          { color: theme.plot[1], width: 5 },
        ),
        showSymbol: true,
        symbol: 'rect',
        symbolSize: 9,
      })),
    ],
  };
}

export interface ClosingData {
  curve: { time_s: readonly number[]; voltage_V: Column; current_A: Column; valveOpening_pct: Column };
  fit: { time_s: readonly number[]; voltage_V: Column } | null;
  minimumVoltage_V: number | null;
}

/** Share of the highest current under which the drive has ended. */
const driven = 0.1;

function whileDischarging(fit: { voltage_V: Column }, curve: { current_A: Column }): Column {
  const highest = Math.max(0, ...curve.current_A.map((current) => current ?? 0));
  const last = curve.current_A.findLastIndex((current) => (current ?? 0) > driven * highest);
  return fit.voltage_V.map((voltage, index) => (highest > 0 && index > last ? null : voltage));
}

/** One closing finely sampled: voltage with the fitted discharge on it, the opening under it. */
export function closingOption(data: ClosingData, theme: ChartTheme): EChartsOption {
  const { curve, fit } = data;
  // Each sample as a point, so that the fit can be judged against what was measured.
  const voltage = line('Voltage', points(curve.time_s, curve.voltage_V), {
    color: theme.plot[2],
    width: 0.8,
  });
  voltage.showSymbol = true;
  voltage.symbolSize = 3;
  // The fit holds for the discharge: after it the module rests, and nothing is claimed.
  const fitted = line('Fitted discharge', fit ? points(fit.time_s, whileDischarging(fit, curve)) : [], {
    color: theme.plot[1],
    dashed: true,
    width: 2.5,
  });
  // Over the samples: where both agree, one sees the dashes on the dots.
  fitted.z = 4;
  const opening = line('Valve opening', points(curve.time_s, curve.valveOpening_pct), {
    color: theme.plot[0],
    panel: 1,
  });
  if (data.minimumVoltage_V !== null)
    voltage.markLine = limitLine(
      theme,
      data.minimumVoltage_V,
      `converter's minimum voltage ${decimals(data.minimumVoltage_V, 1)} V`,
    );
  return {
    ...base(theme),
    legend: [
      legend(theme, [voltage, fitted], { top: 4, left: 0 }),
      legend(theme, [opening], { top: 218, left: 0 }),
    ],
    grid: [
      { left: 40, right: 14, top: 40, height: 160 },
      { left: 40, right: 14, top: 250, height: 80 },
    ],
    xAxis: [
      acrossAxis(theme, '', { gridIndex: 0, axisLabel: { show: false } }),
      acrossAxis(theme, 'seconds from the start', { gridIndex: 1 }),
    ],
    yAxis: [
      valueAxis(theme, 'V', { gridIndex: 0 }),
      valueAxis(theme, '%', { gridIndex: 1, min: 0, max: 100, interval: 50, scale: false }),
    ],
    axisPointer: { link: [{ xAxisIndex: 'all' }] },
    tooltip: {
      ...base(theme).tooltip,
      valueFormatter: (value) => (value === null ? '–' : decimals(Number(value), 2)),
    },
    series: [voltage, fitted, opening],
  };
}
