import type { EChartsOption, LineSeriesOption } from 'echarts';
import { decimals } from '../quantities/format-quantity.js';
import { clockWords } from '../quantities/site-time.js';
import { scaleOf, type UnitSystem } from '../quantities/unit-system.js';
import {
  band,
  base,
  legend,
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
import { roundScale } from './round-scale.js';
import type { ChartTheme } from './theme.js';
import { panels, panelTops } from './timeline-panels.js';
import { timelineTooltip } from './timeline-tooltip.js';

export interface TimelineData {
  resolution_s: number;
  time_s: readonly number[];
  superheat_K: Column;
  superheatMinimum_K: Column;
  superheatMaximum_K: Column;
  superheatUncertainty_K: Column;
  superheatSetpoint_K: Column;
  valveOpening_pct: Column;
  valveOpeningMinimum_pct: Column;
  valveOpeningMaximum_pct: Column;
  suctionPressure_Pa: Column;
  dischargePressure_Pa: Column;
  suctionTemperature_K: Column;
  suctionSaturationTemperature_K: Column;
  dischargeTemperature_K: Column;
  dischargeSaturationTemperature_K: Column;
  liquidTemperature_K: Column;
  compressorLoad_pct: Column;
  floodbackLimit_K: number;
  mainsLosses: readonly { from_s: number; to_s: number | null }[];
}

export interface WaterData {
  time_s: readonly number[];
  enteringTemperature_K: Column;
  leavingTemperature_K: Column;
  ambientTemperature_K: Column;
}

export interface TimelineView {
  /** The whole axis, and the part of it that is in view, s. */
  extent: { from_s: number; to_s: number };
  shown: { from_s: number; to_s: number };
  narrow: boolean;
}

/**
 * What the superheat scale has to hold: all but the outermost hundredth of the readings at either end, and the limit
 * and setpoint. A start's spike of half a minute would else flatten a whole day.
 */
export function superheatScale(data: TimelineData): { low: number; high: number } | null {
  const known = data.superheat_K.filter((value): value is number => value !== null).sort((a, b) => a - b);
  if (known.length < 2) return null;
  const at = (share: number) => known[Math.round(share * (known.length - 1))];
  const setpoints = data.superheatSetpoint_K.filter((value): value is number => value !== null);
  const low = Math.min(at(0.01), data.floodbackLimit_K, ...setpoints.slice(0, 1));
  const high = Math.max(at(0.99), data.floodbackLimit_K, ...setpoints.slice(0, 1));
  const room = 0.15 * Math.max(high - low, 1);
  return { low: low - room, high: high + room };
}

/** One circuit's readings on one time axis, panel over panel, with one cursor and one zoom for all. */
export function timelineOption(
  data: TimelineData,
  water: WaterData | null,
  view: TimelineView,
  theme: ChartTheme,
  system: UnitSystem,
): EChartsOption {
  const difference = scaleOf('temperature-difference', system);
  const pressure = scaleOf('pressure', system);
  const temperature = scaleOf('temperature', system);
  const place = onClock(theme);
  const scale = superheatScale(data);
  const gap = Math.max(3 * data.resolution_s, 45);
  const series = (column: Column, convert = (value: number) => value) =>
    points(data.time_s, column, { gap, place, convert });
  const fromWater = (column: Column) =>
    water === null
      ? []
      : points(water.time_s, column, { gap: Math.max(gap, 400), place, convert: temperature.convert });
  const apart = (sign: number): (number | null)[] =>
    data.superheat_K.map((value, index) => {
      const uncertainty = data.superheatUncertainty_K[index];
      return value === null || uncertainty === null || uncertainty === undefined
        ? null
        : value + sign * 2 * uncertainty;
    });
  const [a, b, c, d, e] = theme.plot;
  const lossSpans = data.mainsLosses.map((loss) => ({
    from: place(loss.from_s),
    to: place(loss.to_s ?? view.extent.to_s),
  }));

  const superheat = line(`Superheat`, series(data.superheat_K, difference.convert), { color: a, width: 1.8 });
  superheat.markLine = limitLine(
    theme,
    difference.convert(data.floodbackLimit_K),
    `floodback limit ${decimals(difference.convert(data.floodbackLimit_K), 1)} ${difference.unit}`,
  );
  superheat.markArea = stretches(theme, lossSpans);
  const opening = line('Valve opening', series(data.valveOpening_pct), { color: b, panel: 1, width: 1.8 });
  opening.markArea = stretches(theme, lossSpans);

  const lines: LineSeriesOption[] = [
    ...band(
      'Lowest to highest',
      series(data.superheatMinimum_K, difference.convert),
      series(data.superheatMaximum_K, difference.convert),
      theme.hair,
    ),
    ...band(
      'Uncertainty, two standard',
      series(apart(-1), difference.convert),
      series(apart(1), difference.convert),
      theme.band,
    ),
    superheat,
    line('Setpoint', series(data.superheatSetpoint_K, difference.convert), {
      color: c,
      dashed: true,
      step: true,
    }),
    ...band(
      'Opening, lowest to highest',
      series(data.valveOpeningMinimum_pct),
      series(data.valveOpeningMaximum_pct),
      theme.hair,
      1,
    ),
    opening,
    line('Compressor load', series(data.compressorLoad_pct), { color: e, panel: 1, dashed: true }),
    line('Suction', series(data.suctionPressure_Pa, pressure.convert), { color: a, panel: 2 }),
    line('Discharge', series(data.dischargePressure_Pa, pressure.convert), { color: d, panel: 2 }),
    line('Suction gas', series(data.suctionTemperature_K, temperature.convert), { color: a, panel: 3 }),
    line('Evaporating, dew', series(data.suctionSaturationTemperature_K, temperature.convert), {
      color: a,
      panel: 3,
      dashed: true,
    }),
    line('Discharge gas', series(data.dischargeTemperature_K, temperature.convert), { color: d, panel: 3 }),
    line('Condensing, dew', series(data.dischargeSaturationTemperature_K, temperature.convert), {
      color: d,
      panel: 3,
      dashed: true,
    }),
    line('Liquid', series(data.liquidTemperature_K, temperature.convert), { color: c, panel: 3 }),
    line('Water in', fromWater(water?.enteringTemperature_K ?? []), { color: b, panel: 3 }),
    line('Water out', fromWater(water?.leavingTemperature_K ?? []), { color: b, panel: 3, dashed: true }),
    line('Ambient', fromWater(water?.ambientTemperature_K ?? []), { color: e, panel: 3, dashed: true }),
  ].filter((entry) =>
    (entry.data as unknown[]).some((pair) => (pair as [number, number | null])[1] !== null),
  );

  const left = view.narrow ? 42 : 52;
  const right = view.narrow ? 8 : 16;
  const { tops, overs } = panelTops(view.narrow);
  const units = [difference.unit, '%', `${pressure.unit} absolute`, temperature.unit];
  const common = { type: 'time' as const, min: place(view.extent.from_s), max: place(view.extent.to_s) };
  const zoom = {
    xAxisIndex: [0, 1, 2, 3],
    startValue: place(view.shown.from_s),
    endValue: place(view.shown.to_s),
    minValueSpan: 10_000,
    filterMode: 'none' as const,
    throttle: 80,
  };
  return {
    ...base(theme),
    title: panels.map((panel, index) =>
      panelTitle(theme, `${panel.title}, ${units[index]}`, tops[index] - overs[index] + 14),
    ),
    legend: panels.map((_, index) =>
      legend(
        theme,
        lines.filter((entry) => entry.yAxisIndex === index && !(view.narrow && entry.areaStyle)),
        {
          top: tops[index] - overs[index] + 36,
          left: 0,
          right: 4,
          itemGap: view.narrow ? 8 : 12,
        },
      ),
    ),
    grid: panels.map((panel, index) => ({ left, right, top: tops[index], height: panel.height })),
    xAxis: panels.map((_, index) =>
      timeAxis(theme, {
        ...common,
        gridIndex: index,
        axisLabel: {
          show: index === panels.length - 1,
          color: theme.quiet,
          fontSize: 12,
          hideOverlap: true,
        },
      }),
    ),
    yAxis: panels.map((_, index) =>
      valueAxis(theme, '', {
        gridIndex: index,
        ...(index === 1 ? { min: 0, max: 100, interval: 25 } : {}),
        ...(index === 0 && scale
          ? roundScale(difference.convert(scale.low), difference.convert(scale.high))
          : {}),
      }),
    ),
    axisPointer: { link: [{ xAxisIndex: 'all' }] },
    dataZoom: [
      {
        type: 'inside',
        ...zoom,
        zoomOnMouseWheel: 'shift',
        moveOnMouseMove: true,
        preventDefaultMouseMove: false,
      },
      {
        type: 'slider',
        ...zoom,
        bottom: 8,
        height: 26,
        left,
        right,
        borderColor: theme.hair,
        fillerColor: theme.band,
        showDataShadow: false,
        handleStyle: { color: theme.ink, borderColor: theme.ink },
        moveHandleStyle: { color: theme.quiet },
        textStyle: { color: theme.quiet },
        labelFormatter: (value: number) => clockWords(value, 'chart'),
        brushSelect: false,
      },
    ],
    tooltip: {
      ...base(theme).tooltip,
      formatter: (entries: unknown) => timelineTooltip(entries, units),
    },
    series: lines,
  };
}
