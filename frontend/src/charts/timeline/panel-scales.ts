import { extent, quantileSorted, range } from 'd3-array';
import type { LineSeriesOption } from 'echarts';
import { scaleOf, type UnitSystem } from '../../quantities/unit-system.js';
import { axisNumber, type Point } from '../parts.js';
import { roundScale } from '../round-scale.js';
import type { TimelineData } from './data.js';
import { panels } from './panels.js';

/** The ends of an upright axis and the step between its marks. */
export interface PanelScale {
  min: number;
  max: number;
  interval: number;
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

/** A scale for what the lines of a panel show; one value has room on both sides. */
function scaleOfLines(lines: readonly LineSeriesOption[], panel: number): PanelScale {
  const values = lines
    .filter(({ yAxisIndex, stack }) => yAxisIndex === panel && stack === undefined)
    .flatMap(({ data }) => (data as Point[]).map(([, value]) => value))
    .filter((value) => value !== null);
  const [low = 0, high = 1] = extent(values);
  return low === high ? roundScale(low - 0.5, high + 0.5) : roundScale(low, high);
}

/**
 * The upright axes from top to bottom: superheat by what is usual, opening from shut to fully open, the rest by what
 * the lines show. They are those of all readings at hand, so that they stay while the reader moves in time.
 */
export function panelScales(
  data: TimelineData,
  lines: readonly LineSeriesOption[],
  system: UnitSystem,
): PanelScale[] {
  const { convert } = scaleOf('temperature-difference', system);
  return panels.map((_, panel) => {
    if (panel === 1) return { min: 0, max: 100, interval: 25 };
    const usual = panel === 0 ? superheatScale(data) : null;
    return usual ? roundScale(convert(usual.low), convert(usual.high)) : scaleOfLines(lines, panel);
  });
}

/** The marks of an upright axis: how far down its panel, as a fraction, and the number. */
export function scaleMarks({ min, max, interval }: PanelScale): { down: number; words: string }[] {
  const steps = Math.round((max - min) / interval);
  return range(steps + 1).map((step) => ({
    down: 1 - step / steps,
    words: axisNumber(min + step * interval),
  }));
}
