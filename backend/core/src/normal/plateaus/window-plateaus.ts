import type { CircuitSeries } from '../../telemetry/circuit-series.js';
import {
  leastSteadyFraction,
  steadyRecord,
  tolerances,
  type Plateau,
  type SteadyCut,
} from './find-plateaus.js';
import { stopsOf, type WindowStops } from './stops.js';

/**
 * Steady running of one window, cut by itself, so that what is found in it does not hang on which windows were there
 * before: by the usual tolerances and, where these leave it under a quarter of its running, by wider ones too. Which of
 * them counts is decided over many windows. Beside it, the stops that the window has to their end.
 */
export interface WindowPlateaus extends WindowStops {
  start_s: number;
  /** Running, s. */
  ran_s: number;
  /** By growing tolerance, `level` being the place in `tolerances`. */
  cuts: (SteadyCut & { level: number })[];
}

/** Cuts the steady running of a window into plateaus, and looks at its stops. Throws UnknownRefrigerantError. */
export function plateausOfWindow(
  series: CircuitSeries,
  refrigerant: string,
  start_s: number,
): WindowPlateaus {
  const record = steadyRecord(series, refrigerant);
  const stops = stopsOf(series, refrigerant, start_s);
  const found: WindowPlateaus = { start_s, ran_s: record?.ran_s ?? 0, cuts: [], ...stops };
  if (record === null || record.ran_s === 0) return found;
  let steady_s = 0;
  for (let level = 0; level < tolerances.length && steady_s < leastSteadyFraction * record.ran_s; level++) {
    const cut = record.cut(tolerances[level]);
    // A wider tolerance that finds no more changes nothing.
    if (cut.steady_s > steady_s) found.cuts.push({ level, ...cut });
    steady_s = Math.max(steady_s, cut.steady_s);
  }
  return found;
}

const cutBy = ({ cuts }: WindowPlateaus, level: number) => cuts.findLast((cut) => cut.level <= level);

/** The tolerance, as its place in `tolerances`, by which a quarter of the running of all the windows is steady; else the widest. */
export function toleranceLevel(windows: readonly WindowPlateaus[]): number {
  const ran_s = windows.reduce((sum, window) => sum + window.ran_s, 0);
  for (let level = 0; level < tolerances.length - 1; level++) {
    const steady_s = windows.reduce((sum, window) => sum + (cutBy(window, level)?.steady_s ?? 0), 0);
    if (steady_s >= leastSteadyFraction * ran_s) return level;
  }
  return tolerances.length - 1;
}

/** The plateaus of windows in time order, by one tolerance. */
export const plateausOf = (windows: readonly WindowPlateaus[], level: number): Plateau[] =>
  windows.flatMap((window) => cutBy(window, level)?.plateaus ?? []);
