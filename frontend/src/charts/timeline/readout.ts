import { bisector } from 'd3-array';
import type { LineSeriesOption } from 'echarts';
import { decimals } from '../../quantities/format-quantity.js';
import { clockWords } from '../../quantities/site-time.js';
import type { Point } from '../parts.js';

/** What the lines show at the cursor. */
export interface Readout {
  /** Where the reading lies on the time axis. */
  at: number;
  time: string;
  rows: { name: string; color: string; dashed: boolean; value: string }[];
}

const byPlace = bisector((point: Point) => point[0]);

/** The known point nearest to a place, or null where the line is broken there. */
function nearest(points: readonly Point[], at: number): Point | null {
  const index = byPlace.center(points as Point[], at);
  const point = points[index];
  return point === undefined || point[1] === null ? null : point;
}

/** Edges of bands are no readings of their own. */
const isRead = ({ name }: LineSeriesOption) =>
  !/ from$|owest to highest$|^Uncertainty|^Markers$/.test(String(name));

/**
 * What every line shows at its reading nearest to a place on the time axis, edges of bands left out; `units` are those
 * of the panels, from top to bottom. Null where nothing was read near it. A line whose nearest reading is further away
 * than `reach` says nothing.
 */
export function readoutAt(
  lines: readonly LineSeriesOption[],
  at: number,
  reach: number,
  units: readonly string[],
): Readout | null {
  const found = lines.filter(isRead).flatMap((line) => {
    const point = nearest(line.data as Point[], at);
    return point === null || Math.abs(point[0] - at) > reach ? [] : [{ line, point }];
  });
  if (found.length === 0) return null;
  // The circuit's own readings come first in the list; water is read less often.
  const place = found[0].point[0];
  return {
    at: place,
    time: clockWords(place, 'second'),
    rows: found.map(({ line, point }) => ({
      name: String(line.name),
      color: String(line.lineStyle?.color),
      dashed: Array.isArray(line.lineStyle?.type),
      value: `${decimals(point[1]!, line.yAxisIndex === 1 ? 0 : 2)} ${units[line.yAxisIndex ?? 0]}`,
    })),
  };
}
