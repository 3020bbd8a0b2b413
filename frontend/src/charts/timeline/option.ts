import { quantileSorted } from 'd3-array';
import type { EChartsOption, LineSeriesOption } from 'echarts';
import { scaleOf, type UnitSystem } from '../../quantities/unit-system.js';
import { base, legend, onClock, panelTitle, timeAxis, timeLabels, valueAxis } from '../parts.js';
import { roundScale } from '../round-scale.js';
import type { ChartTheme } from '../theme.js';
import type { TimelineData, WaterData } from './data.js';
import { timelineLines } from './lines.js';
import { markerLines, type Marker } from './markers.js';
import { panels, panelSides, panelTops } from './panels.js';
import { timelineTooltip } from './tooltip.js';

export interface TimelineView {
  /** The newest time that can be shown, s: where a mains loss that lasts ends in the picture. */
  end_s: number;
  narrow: boolean;
  markers?: readonly Marker[];
}

/**
 * What the superheat scale has to hold: all but the outermost hundredth of the readings at either end, and the limit
 * and setpoint. A start's spike of half a minute would else flatten a whole day.
 */
export function superheatScale(data: TimelineData): { low: number; high: number } | null {
  const known = data.superheat_K.filter((value): value is number => value !== null).sort((a, b) => a - b);
  if (known.length < 2) return null;
  const setpoint = data.superheatSetpoint_K.find((value) => value !== null) ?? data.floodbackLimit_K;
  const low = Math.min(quantileSorted(known, 0.01)!, data.floodbackLimit_K, setpoint);
  const high = Math.max(quantileSorted(known, 0.99)!, data.floodbackLimit_K, setpoint);
  const room = 0.15 * Math.max(high - low, 1);
  return { low: low - room, high: high + room };
}

/** The ends of the time axes of all panels, for a stretch of time, s. */
export function timelineWindow(
  shown: { from_s: number; to_s: number },
  theme: Pick<ChartTheme, 'zone'>,
): { xAxis: { min: number; max: number }[] } {
  const place = onClock(theme);
  return { xAxis: panels.map(() => ({ min: place(shown.from_s), max: place(shown.to_s) })) };
}

/** One circuit's readings on one time axis, panel over panel, with one cursor for all. */
export function timelineOption(
  data: TimelineData,
  water: WaterData | null,
  { end_s, narrow, markers = [] }: TimelineView,
  theme: ChartTheme,
  system: UnitSystem,
): EChartsOption {
  const lines = timelineLines(data, water, end_s, theme, system);
  const { tops, overs } = panelTops(narrow);
  const units = [
    scaleOf('temperature-difference', system).unit,
    '%',
    scaleOf('pressure', system).unit,
    scaleOf('temperature', system).unit,
  ];
  return {
    ...base(theme),
    title: panels.map((panel, index) =>
      panelTitle(theme, `${panel.title}, ${units[index]}`, tops[index] - overs[index] + 14),
    ),
    legend: panels.map((_, index) =>
      panelLegend(lines, index, tops[index] - overs[index] + 36, narrow, theme),
    ),
    grid: panels.map((panel, index) => ({ ...panelSides(narrow), top: tops[index], height: panel.height })),
    xAxis: panels.map((_, index) => panelTimeAxis(index, theme)),
    yAxis: panels.map((_, index) =>
      valueAxis(theme, '', { gridIndex: index, ...panelScale(index, data, system) }),
    ),
    axisPointer: { link: [{ xAxisIndex: 'all' }] },
    tooltip: {
      ...base(theme).tooltip,
      formatter: (entries: unknown) => timelineTooltip(entries, units),
    },
    series: [...lines, ...markerLines(markers, theme)],
  };
}

function panelLegend(
  lines: LineSeriesOption[],
  panel: number,
  top: number,
  narrow: boolean,
  theme: ChartTheme,
) {
  const named = lines.filter((entry) => entry.yAxisIndex === panel && !(narrow && entry.areaStyle));
  return legend(theme, named, { top, left: 0, right: 4, itemGap: narrow ? 8 : 12 });
}

/** Only the lowest panel names the times. */
const panelTimeAxis = (panel: number, theme: ChartTheme) =>
  timeAxis(theme, {
    gridIndex: panel,
    axisLabel: {
      show: panel === panels.length - 1,
      color: theme.quiet,
      fontSize: 12,
      hideOverlap: true,
      formatter: timeLabels,
    },
  });

/** Superheat by what is usual, opening from shut to fully open, the rest by what was sent. */
function panelScale(panel: number, data: TimelineData, system: UnitSystem): Record<string, unknown> {
  if (panel === 1) return { min: 0, max: 100, interval: 25 };
  const scale = panel === 0 ? superheatScale(data) : null;
  if (!scale) return {};
  const { convert } = scaleOf('temperature-difference', system);
  return roundScale(convert(scale.low), convert(scale.high));
}
