import { extent } from 'd3-array';
import { axisNumber } from '../parts.js';
import type { Mark, Panel, Picture, Tone } from './picture.js';
import { linearScale, timeScale } from './scales.js';

/** A picture in pixels: what an SVG draws, without a browser. */
export interface Geometry {
  panels: {
    title: string;
    top: number;
    height: number;
    paths: { name: string; tone: Tone; dashed: boolean; strong: boolean; d: string }[];
    dots: { tone: Tone; x: number; y: number }[];
    bars: { tone: Tone; x: number; y: number; width: number; height: number }[];
    levels: { y: number; words: string }[];
    ticks: { y: number; words: string }[];
  }[];
  spans: { x: number; width: number }[];
  lines: { x: number; words: string }[];
  ticks: { x: number; words: string }[];
  left: number;
  right: number;
  top: number;
  bottom: number;
}

export interface Size {
  width: number;
  height: number;
  /** Without axes and words: the picture beside a sentence. */
  small: boolean;
}

const format = new Intl.DateTimeFormat('en-GB', { hour: '2-digit', minute: '2-digit', timeZone: 'UTC' });
const dayFormat = new Intl.DateTimeFormat('en-GB', { day: 'numeric', month: 'short', timeZone: 'UTC' });
const monthFormat = new Intl.DateTimeFormat('en-GB', { month: 'short', year: 'numeric', timeZone: 'UTC' });

const day_ms = 86_400_000;
function clockTick(at: number, span_ms: number): string {
  if (span_ms > 400 * day_ms) return monthFormat.format(at);
  return at % day_ms === 0 || span_ms > 5 * day_ms ? dayFormat.format(at) : format.format(at);
}

function domain(values: Iterable<number>): [number, number] {
  const [low, high] = extent(values);
  if (low === undefined) return [0, 1];
  return low === high ? [low - 0.5, high + 0.5] : [low, high!];
}

function acrossOf({ panels, spans, lines }: Picture): [number, number] {
  const values = panels.flatMap(({ marks }) =>
    marks.flatMap(({ x, width = 0 }) => x.flatMap((at) => [at - width / 2, at + width / 2])),
  );
  return domain([...values, ...spans.flatMap(({ from, to }) => [from, to]), ...lines.map(({ at }) => at)]);
}

function downOf({ marks, levels, include = [], least = 0 }: Panel): [number, number] {
  const [low, high] = domain([
    ...marks.flatMap(({ y }) => y.filter((value) => value !== null)),
    ...levels.map(({ value }) => value),
    ...include,
  ]);
  const short = Math.max(0, least - (high - low)) / 2;
  return [low - short, high + short];
}

/** A line through the known values, broken where one is missing or the step in x is too long. */
function pathOf(mark: Mark, x: (at: number) => number, y: (value: number) => number): string {
  let path = '';
  /** Points of the stretch so far; a lone one is closed, so that its round end is drawn. */
  let run = 0;
  const end = () => {
    if (run === 1) path += 'Z';
    run = 0;
  };
  mark.x.forEach((at, index) => {
    const value = mark.y[index];
    if (index > 0 && mark.gap !== undefined && at - mark.x[index - 1] > mark.gap) end();
    if (value === null) return end();
    path += `${run === 0 ? 'M' : 'L'}${tenth(x(at))},${tenth(y(value))}`;
    run += 1;
  });
  end();
  return path;
}

/** A tenth of a pixel is fine enough. */
const tenth = (pixels: number) => Math.round(pixels * 10) / 10;

interface AcrossScale {
  x: (at: number) => number;
  ticks: (count: number) => { at: number; words: string }[];
}

function acrossScale(
  kind: Picture['x']['kind'],
  domain: [number, number],
  range: [number, number],
): AcrossScale {
  const scale = kind === 'number' ? linearScale(domain, range) : timeScale(domain, range);
  const words = (at: number) => (kind === 'number' ? axisNumber(at) : clockTick(at, domain[1] - domain[0]));
  return {
    x: (at) => tenth(scale.place(at)),
    ticks: (count) => scale.ticks(count).map((at) => ({ at, words: words(at) })),
  };
}

/** Room that a mark of the horizontal axis takes with its words, px. */
const markRoom = 110;
/** Fewer marks tell no scale; those of a time axis say day and time and take more room. */
const leastMarks: Record<Picture['x']['kind'], number> = { number: 3, time: 2 };

/** Figures of an upright axis closer than this, px, would overlap. */
const figureHeight = 13;

/** All marks of an upright axis, or in a low panel its ends alone. */
function apart(marks: readonly number[], place: (value: number) => number): readonly number[] {
  const close = marks.some((mark, k) => k > 0 && Math.abs(place(mark) - place(marks[k - 1])) < figureHeight);
  return close ? [marks[0], marks[marks.length - 1]] : marks;
}

/** Pixels of a picture: its panels one under the other over a shared horizontal axis. */
export function layOut(picture: Picture, { width, height, small }: Size): Geometry {
  const [left, right] = small ? [2, width - 2] : [44, width - 10];
  // Figures of the axis stand beneath it; under them what it is, unless it is the time.
  const beneath = picture.x.kind === 'number' ? 36 : 20;
  const [top, bottom] = small ? [2, height - 2] : [22, height - beneath];
  const [from, to] = acrossOf(picture);
  const across = acrossScale(picture.x.kind, [from, to], [left, right]);
  const { x } = across;
  const between = small ? 4 : 28;
  const room = bottom - top - between * (picture.panels.length - 1);
  const weights = picture.panels.reduce((sum, { weight }) => sum + weight, 0);
  let at = top;
  const panels = picture.panels.map((panel) => {
    const tall = (room * panel.weight) / weights;
    const scale = linearScale(downOf(panel), [at + tall - 2, at + 2], small ? undefined : 4);
    const drawn = geometryOf(panel, x, scale.place, { top: at, height: tall });
    const ticks = small
      ? []
      : apart(scale.ticks(tall > 70 ? 4 : 2), scale.place).map((value) => ({
          y: scale.place(value),
          words: axisNumber(value),
        }));
    at += tall + between;
    return { ...drawn, ticks };
  });
  const count = Math.max(leastMarks[picture.x.kind], Math.floor((right - left) / markRoom));
  return {
    panels,
    spans: picture.spans.map((span) => ({
      x: x(span.from),
      width: Math.max(0.5, x(span.to) - x(span.from)),
    })),
    lines: picture.lines.map(({ at: place, words }) => ({ x: x(place), words })),
    ticks: small ? [] : across.ticks(count).map(({ at: tick, words }) => ({ x: x(tick), words })),
    left,
    right,
    top,
    bottom,
  };
}

function geometryOf(
  panel: Panel,
  x: (at: number) => number,
  y: (value: number) => number,
  place: { top: number; height: number },
) {
  const floor = y(0);
  return {
    title: panel.unit === '' ? panel.title : `${panel.title}, ${panel.unit}`,
    ...place,
    paths: panel.marks
      .filter(({ shape }) => shape === 'line')
      .map((mark) => ({
        name: mark.name,
        tone: mark.tone,
        dashed: mark.dashed ?? false,
        strong: mark.strong ?? false,
        d: pathOf(mark, x, y),
      })),
    dots: panel.marks
      .filter(({ shape }) => shape === 'dots')
      .flatMap((mark) =>
        mark.x.flatMap((at, index) => {
          const value = mark.y[index];
          return value === null ? [] : [{ tone: mark.tone, x: x(at), y: y(value) }];
        }),
      ),
    bars: panel.marks
      .filter(({ shape }) => shape === 'bars')
      .flatMap((mark) =>
        mark.x.flatMap((at, index) => {
          const value = mark.y[index];
          if (value === null) return [];
          const half = (mark.width ?? 0) / 2;
          return [
            {
              tone: mark.beyond?.[index] ? ('limit' as const) : mark.tone,
              x: x(at - half),
              y: Math.min(floor, y(value)),
              width: Math.max(0.5, x(at + half) - x(at - half) - 0.6),
              height: Math.abs(floor - y(value)),
            },
          ];
        }),
      ),
    levels: panel.levels.map(({ value, words }) => ({ y: y(value), words })),
  };
}
