import { area, curveLinear, curveStepAfter, line as path } from 'd3-shape';
import type { LineSeriesOption } from 'echarts';
import type { Point } from '../../parts.js';
import type { Timeline } from '../option.js';
import { panels } from '../panels.js';
import { linesInView, type AxisWindow } from './in-view.js';

/** Over and under a panel its picture has this much room, px: for the upper half of a line at the end of the scale. */
export const panelEdge = 2;

export const pictureHeight = (panel: number): number => panels[panel].height + 2 * panelEdge;

/** From times and values to places in the picture of a panel, px. */
interface Places {
  x: (at: number) => number;
  y: (value: number) => number;
}

const isKnown = ([, value]: Point) => value !== null;
const pointsOf = (line: LineSeriesOption | undefined) => (line?.data ?? []) as Point[];

/** What a window shows of the lines of one panel. */
export const panelLines = ({ lines }: Timeline, panel: number, window: AxisWindow): LineSeriesOption[] =>
  linesInView(
    lines.filter(({ yAxisIndex = 0 }) => yAxisIndex === panel),
    window,
  );

function paintStretches(
  canvas: CanvasRenderingContext2D,
  { markArea }: LineSeriesOption,
  { x }: Places,
  height: number,
): void {
  const spans = (markArea?.data ?? []) as readonly (readonly [{ xAxis: number }, { xAxis: number }])[];
  canvas.fillStyle = String(markArea?.itemStyle?.color);
  for (const [from, to] of spans)
    canvas.fillRect(x(from.xAxis), panelEdge, x(to.xAxis) - x(from.xAxis), height);
}

/** The band between two stacked lines: `base`, and over it the height of `line`. */
function paintBand(
  canvas: CanvasRenderingContext2D,
  base: readonly Point[],
  line: LineSeriesOption,
  { x, y }: Places,
): void {
  const under = (index: number) => base[index][1] ?? 0;
  canvas.beginPath();
  area<Point>()
    .defined(isKnown)
    .x(([at]) => x(at))
    .y0((_, index) => y(under(index)))
    .y1(([, height], index) => y(under(index) + height!))
    .context(canvas)(pointsOf(line));
  canvas.fillStyle = String(line.areaStyle!.color);
  canvas.globalAlpha = Number(line.areaStyle!.opacity ?? 1);
  canvas.fill();
  canvas.globalAlpha = 1;
}

function paintLine(canvas: CanvasRenderingContext2D, line: LineSeriesOption, { x, y }: Places): void {
  const { color, width = 1, type } = line.lineStyle!;
  canvas.beginPath();
  path<Point>()
    .defined(isKnown)
    .x(([at]) => x(at))
    .y(([, value]) => y(value!))
    .curve(line.step ? curveStepAfter : curveLinear)
    .context(canvas)(pointsOf(line));
  canvas.strokeStyle = String(color);
  canvas.lineWidth = width;
  canvas.setLineDash(Array.isArray(type) ? type : []);
  canvas.stroke();
}

/**
 * Paints what a window shows of one panel, from side to side: stretches without mains, bands and lines, in this order. The
 * chart library takes five times as long for the same lines, too long for a picture that is painted while the reader moves.
 */
export function paintPanel(
  canvas: CanvasRenderingContext2D,
  timeline: Timeline,
  panel: number,
  window: AxisWindow,
): void {
  const { min, max } = timeline.panels[panel].scale;
  const { height } = panels[panel];
  const places: Places = {
    x: (at) => ((at - window.from) / (window.to - window.from)) * window.width,
    y: (value) => panelEdge + ((max - value) / (max - min)) * height,
  };
  const lines = panelLines(timeline, panel, window);
  canvas.lineJoin = 'bevel';
  for (const line of lines) paintStretches(canvas, line, places, height);
  for (const line of lines) {
    const base = lines.find(({ stack, areaStyle }) => stack === line.stack && areaStyle === undefined);
    if (line.areaStyle !== undefined) paintBand(canvas, pointsOf(base), line, places);
    else if (line.lineStyle?.opacity !== 0) paintLine(canvas, line, places);
  }
}
