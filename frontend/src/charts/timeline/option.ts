import type { EChartsOption, LineSeriesOption } from 'echarts';
import { decimals } from '../../quantities/format-quantity.js';
import { scaleOf, type UnitSystem } from '../../quantities/unit-system.js';
import { legendIcons, onClock } from '../parts.js';
import type { ChartTheme } from '../theme.js';
import type { TimelineData, WaterData } from './data.js';
import { timelineLines } from './lines.js';
import { panels, panelTops } from './panels.js';
import { panelScales, type PanelScale } from './panel-scales.js';

export interface TimelineView {
  /** The newest time that can be shown, s: where a mains loss that lasts ends in the picture. */
  end_s: number;
  narrow: boolean;
  /** Names of lines that the reader has switched off. */
  hidden?: ReadonlySet<string>;
}

export interface LegendEntry {
  name: string;
  color: string;
  /** Outline of its sign, 20 by 14. */
  icon: string;
}

/** One circuit's readings on one time axis, panel over panel. */
export interface Timeline {
  /** All readings at hand, on the clock of the site. */
  lines: LineSeriesOption[];
  /** Of each panel, from top to bottom. */
  panels: {
    title: string;
    unit: string;
    legend: LegendEntry[];
    scale: PanelScale;
    limit: { value: number; words: string } | null;
  }[];
  narrow: boolean;
}

/** Units of the panels, from top to bottom. */
const panelUnits = (system: UnitSystem): string[] => [
  scaleOf('temperature-difference', system).unit,
  '%',
  scaleOf('pressure', system).unit,
  scaleOf('temperature', system).unit,
];

/** Names with the look of their line: solid, dashed or a band, so that the legend reads without colour. */
const legendOf = (lines: readonly LineSeriesOption[], narrow: boolean): LegendEntry[] =>
  lines
    .filter((entry) => !String(entry.name).endsWith(' from') && !(narrow && entry.areaStyle))
    .map((entry) => ({
      name: String(entry.name),
      color: String(entry.areaStyle?.color ?? entry.lineStyle?.color),
      icon: entry.areaStyle
        ? legendIcons.band
        : Array.isArray(entry.lineStyle?.type)
          ? legendIcons.dashed
          : legendIcons.solid,
    }));

/** What the time chart of a circuit shows, whatever stretch of it is in view. */
export function timeline(
  data: TimelineData,
  water: WaterData | null,
  { end_s, narrow, hidden = new Set() }: TimelineView,
  theme: ChartTheme,
  system: UnitSystem,
): Timeline {
  const all = timelineLines(data, water, end_s, theme, system);
  const lines = all.filter(({ name }) => !hidden.has(String(name).replace(/ from$/, '')));
  const scales = panelScales(data, lines, system);
  const units = panelUnits(system);
  const limit = scaleOf('temperature-difference', system).convert(data.floodbackLimit_K);
  return {
    lines,
    panels: panels.map(({ title }, panel) => ({
      title,
      unit: units[panel],
      legend: legendOf(
        all.filter(({ yAxisIndex }) => yAxisIndex === panel),
        narrow,
      ),
      scale: scales[panel],
      limit:
        panel === 0 ? { value: limit, words: `floodback limit ${decimals(limit, 1)} ${units[0]}` } : null,
    })),
    narrow,
  };
}

/** The ends of the time axes for a stretch of time, s, by the clock of the site. */
export function timelineWindow(
  shown: { from_s: number; to_s: number },
  theme: Pick<ChartTheme, 'zone'>,
): { from: number; to: number } {
  const place = onClock(theme);
  return { from: place(shown.from_s), to: place(shown.to_s) };
}

/** The panels with all of their lines. */
export function timelineOption({ lines, panels: shown, narrow }: Timeline): EChartsOption {
  const { tops } = panelTops(narrow);
  return {
    ...plain,
    grid: panels.map(({ height }, index) => ({ left: 0, right: 0, top: tops[index], height })),
    xAxis: panels.map((_, gridIndex) => ({ type: 'time' as const, show: false, gridIndex })),
    yAxis: shown.map(({ scale }, gridIndex) => ({ ...valueAxis(scale), gridIndex })),
    series: lines,
  };
}

/** Times are moved to the site's clock before they are drawn. */
const plain = { useUTC: true, animation: false };
const valueAxis = (scale: PanelScale) => ({ type: 'value' as const, show: false, ...scale });
