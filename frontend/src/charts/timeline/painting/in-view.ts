import type { LineSeriesOption } from 'echarts';
import type { Point } from '../../parts.js';

/** A stretch of the time axis, in its own units, and how many pixels it takes on the screen. */
export interface AxisWindow {
  from: number;
  to: number;
  width: number;
}

/** The lowest and the highest value of a line or band at a place; null where there is none. */
interface Reach {
  low: number | null;
  high: number | null;
}

/** First index whose place is at or after `at`. */
function firstFrom(points: readonly Point[], at: number): number {
  let low = 0;
  let high = points.length;
  while (low < high) {
    const middle = (low + high) >> 1;
    if (points[middle][0] < at) low = middle + 1;
    else high = middle;
  }
  return low;
}

/**
 * Which points are worth drawing in a window, as indices in order: those inside and one on either side, so that lines
 * leave the window where they should. Where there are more than two a pixel, each column of pixels keeps its lowest and
 * its highest point, which is all that can be seen of it; a break stays a break. Places must not decrease.
 *
 * @example drawnIndices([[0, 1], [1, 9], [2, 2], [3, 3]], (i) => reach(i), { from: 0, to: 4, width: 1 }) // [0, 1]
 */
export function drawnIndices(
  points: readonly Point[],
  reach: (index: number) => Reach,
  { from, to, width }: AxisWindow,
): number[] {
  const first = Math.max(0, firstFrom(points, from) - 1);
  let end = firstFrom(points, to);
  while (end < points.length && points[end][0] === to) end += 1;
  end = Math.min(points.length, end + 1);
  const all = Array.from({ length: Math.max(0, end - first) }, (_, index) => first + index);
  if (all.length <= 2 * width) return all;

  const kept: number[] = [];
  let column = NaN;
  let lowest = -1;
  let highest = -1;
  const close = () => {
    if (lowest >= 0) kept.push(Math.min(lowest, highest));
    if (lowest !== highest) kept.push(Math.max(lowest, highest));
    [column, lowest, highest] = [NaN, -1, -1];
  };
  let broken = false;
  for (const index of all) {
    const { low, high } = reach(index);
    if (low === null || high === null) {
      close();
      if (!broken) kept.push(index);
      broken = true;
      continue;
    }
    broken = false;
    const own = Math.floor(((points[index][0] - from) / (to - from)) * width);
    if (own !== column) {
      close();
      [column, lowest, highest] = [own, index, index];
    }
    if (low < reach(lowest).low!) lowest = index;
    if (high > reach(highest).high!) highest = index;
  }
  close();
  return kept;
}

const dataOf = (line: LineSeriesOption) => line.data as Point[];

/** The lines with only what a window shows of them. Both edges of a band keep the same places, as they lie on each other. */
export function linesInView(lines: readonly LineSeriesOption[], window: AxisWindow): LineSeriesOption[] {
  const lower = new Map(
    lines
      .filter(({ name, stack }) => stack !== undefined && String(name).endsWith(' from'))
      .map((line) => [line.stack, line]),
  );
  const height = new Map(
    lines
      .filter(({ name, stack }) => stack !== undefined && !String(name).endsWith(' from'))
      .map((line) => [line.stack, line]),
  );
  const ofBand = (stack: string) => {
    const [low, over] = [dataOf(lower.get(stack)!), dataOf(height.get(stack)!)];
    return drawnIndices(
      low,
      (index) => {
        const [bottom, more] = [low[index][1], over[index][1]];
        return { low: bottom, high: bottom === null || more === null ? null : bottom + more };
      },
      window,
    );
  };
  const bands = new Map([...height.keys()].map((stack) => [stack, ofBand(stack!)]));
  return lines.map((line) => {
    const data = dataOf(line);
    const kept =
      bands.get(line.stack) ??
      drawnIndices(data, (index) => ({ low: data[index][1], high: data[index][1] }), window);
    return { ...line, data: kept.map((index) => data[index]) };
  });
}
