import { runningSamples } from '../../modes/running.js';
import { saturationCurve } from '../../refrigerants/index.js';
import type { CircuitSeries } from '../../telemetry/circuit-series.js';
import { firstAtOrAfter } from './find-plateaus.js';

/** How the pressures of a circuit came together after it stopped. */
export interface Stop {
  at_s: number;
  /**
   * Difference of the two saturation temperatures ten minutes after the stop over that after one minute, both less what
   * stays between the condenser's and the evaporator's surroundings: 1 where nothing moved, 0 where only these hold them
   * apart, under 0 where they are closer than that.
   */
  left: number;
}

const early_s = 60;
const late_s = 600;
/** Half of the time about each over which pressures are averaged. */
const about_s = 30;
/** A valve over this was not shut. */
const shut_pct = 1;
/**
 * Closer than this after a minute, what is left tells nothing, K: of a tenth of a kelvin by which either saturation temperature may be off
 * it is a twentieth.
 */
const leastApart_K = 4;
/** Samples of one record come no farther apart; a stop that begins a window began at most so long before, s. */
const mostGap_s = 90;

/** The stops of a window, and what its neighbours need to know of it to see those at its edges. */
export interface WindowStops {
  /** Those that begin and last long enough in the window. */
  stops: Stop[];
  /** At most one, with which the window begins: a stop where the circuit ran until then. */
  atStart: Stop[];
  /** When it last ran, where it ran at the end of the window, s; else null. */
  ranUntil_s: number | null;
}

/**
 * The stops of a circuit that lasted eleven minutes or more, its valve shut where its opening is sent. Needs the compressor's
 * load: by pressures alone a stop whose pressures stay apart cannot be told from running.
 *
 * @param start_s where the window begins
 * @throws UnknownRefrigerantError.
 */
export function stopsOf(
  series: CircuitSeries,
  refrigerant: string,
  start_s = series.time_s[0] ?? NaN,
): WindowStops {
  const { time_s, compressorLoad_pct: load } = series;
  const found: WindowStops = { stops: [], atStart: [], ranUntil_s: null };
  if (!load.some(Number.isFinite)) return found;
  const runs = runningSamples(series, refrigerant);
  const dew = saturationCurve(refrigerant, 'dew').temperature;
  const n = time_s.length;
  if (runs[0] === 0 && time_s[0] - start_s < mostGap_s) found.atStart.push(...stopAt(series, runs, dew, 0));
  for (let i = 1; i < n; i++)
    if (runs[i - 1] === 1 && runs[i] === 0) found.stops.push(...stopAt(series, runs, dew, i));
  if (runs[n - 1] === 1) found.ranUntil_s = time_s[n - 1];
  return found;
}

/** The stop that begins with a sample, in a list; none where it is too short, or tells nothing. */
function stopAt(
  series: CircuitSeries,
  runs: Uint8Array,
  dew: (pressure_Pa: number) => number,
  first: number,
): Stop[] {
  const { time_s } = series;
  const last = firstAtOrAfter(time_s, time_s[first] + late_s + about_s);
  if (last >= time_s.length || !runs.subarray(first, last + 1).every((run) => run === 0)) return [];
  const at = (after_s: number, of: (k: number) => number) => {
    const from = firstAtOrAfter(time_s, time_s[first] + after_s - about_s);
    const to = firstAtOrAfter(time_s, time_s[first] + after_s + about_s + 1e-6);
    return meanOf(Array.from({ length: to - from }, (_, k) => of(from + k)));
  };
  if (at(late_s, (k) => series.valveOpening_pct[k]) > shut_pct) return [];
  const apart = (k: number) => dew(series.dischargePressure_Pa[k]) - dew(series.suctionPressure_Pa[k]);
  const stays = at(late_s, (k) => surroundings(series, k));
  const rest = Number.isFinite(stays) ? stays : 0;
  const [before, after] = [at(early_s, apart) - rest, at(late_s, apart) - rest];
  return before >= leastApart_K && Number.isFinite(after)
    ? [{ at_s: time_s[first], left: after / before }]
    : [];
}

/**
 * The stops of windows in time order, with those that begin where a window does: plants that are switched by a clock stop on the hour, so that
 * a window ends running and the next one begins at rest.
 */
export const stopsOfWindows = (windows: readonly WindowStops[]): Stop[] =>
  windows.flatMap(({ stops, atStart }, k) => {
    const ranUntil_s = windows[k - 1]?.ranUntil_s ?? -Infinity;
    return [...atStart.filter(({ at_s }) => at_s - ranUntil_s <= mostGap_s), ...stops];
  });

/** What the condenser is cooled by, or the ambient, less the chilled water: how far apart the sides stay by themselves. */
function surroundings(series: CircuitSeries, k: number): number {
  const entering = series.condenserEnteringTemperature_K[k];
  const warm = Number.isFinite(entering) ? entering : series.ambientTemperature_K[k];
  return warm - series.leavingWaterTemperature_K[k];
}

function meanOf(values: readonly number[]): number {
  const there = values.filter(Number.isFinite);
  return there.length === 0 ? NaN : there.reduce((sum, value) => sum + value, 0) / there.length;
}
