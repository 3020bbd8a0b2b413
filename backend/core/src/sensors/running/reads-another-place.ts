import { filled, finiteOf, quantileSorted, quantilesInPlace, sortedFinite } from '../../numerics/index.js';
import { saturationCurve } from '../../refrigerants/index.js';
import type { CircuitSeries } from '../../telemetry/circuit-series.js';
import { medianOf } from './running-state.js';

/** Thermometers whose place the suction pipe never follows through starts and stops. */
const places = {
  enteringWaterTemperature_K: 'entering water',
  leavingWaterTemperature_K: 'leaving water',
  condenserLeavingTemperature_K: 'condenser leaving',
  ambientTemperature_K: 'ambient',
} as const;
type Place = keyof typeof places;

/** That the suction sensor reads another place's temperature. */
export interface AnotherPlace {
  column: Place;
  place: (typeof places)[Place];
  /** Median difference, and half of what 95 % of all differences span, K. */
  offset_K: number;
  scatter_K: number;
  /** Range over which both moved together, 5th to 95th percentile, K, and the starts and stops in between. */
  range_K: number;
  changes: number;
}

/** Judgement, no source. */
const limits = {
  /** Two sensors at one place differ by no more than this, and their difference moves by no more, K. */
  offset_K: 1,
  scatter_K: 0.4,
  /** Vapour over a flooded level is about as warm as the water that leaves, running and standing: there only the very same sensor is told, K. */
  sameSensor_K: 0.12,
  /** The place must have moved by so much, and by so many times the scatter, K. */
  range_K: 0.8,
  times: 6,
  /** Or saturation by so much, which the pipe follows and the sensor does not, K. */
  saturation_K: 6,
  /** Around a start or a stop the pipe leaves what it followed: so long, s, with so many of them and rows seen. */
  around_s: 900,
  changes: 2,
  rows: 60,
};

/**
 * Whether the suction sensor is another one: of all its readings, running and standing, nearly none lies off the
 * temperature of another place, and none of those in the quarter of an hour after starts and stops does. Vapour of a
 * starved evaporator comes close to the entering water as well, with a slope of one, but only while it runs: when the
 * compressor stops the pipe takes the room's temperature, and when it starts saturation pulls it down. Water does neither.
 *
 * @param shown_K how far two readings may be apart by the way they are sent
 */
export function readsAnotherPlace(
  series: CircuitSeries,
  flags: Uint8Array,
  shown_K: number,
): AnotherPlace | null {
  const after = rowsAfterChanges(series, flags);
  if (after.changes < limits.changes) return null;
  const found = (Object.keys(places) as Place[]).flatMap((column) => {
    const one = compared(series, column, after, closeness(column, shown_K));
    return one ? [{ ...one, column, place: places[column] }] : [];
  });
  return found.sort((a, b) => a.scatter_K - b.scatter_K)[0] ?? null;
}

/** A sensor that has come off its pipe reads the ambient as well, but not to the last digit. */
function closeness(column: Place, shown_K: number): { most_K: number; shown_K: number } {
  if (column === 'ambientTemperature_K') return { most_K: 0, shown_K: 0 };
  const most_K = column === 'enteringWaterTemperature_K' ? limits.scatter_K : limits.sameSensor_K;
  return { most_K, shown_K };
}

/**
 * Whether the suction sensor reads the ambient, running and standing: it hangs in the air, or is the ambient's. In a room of
 * one temperature it must stay there while saturation goes through kelvins, which a pipe follows.
 */
export function readsAmbient(
  refrigerant: string,
  series: CircuitSeries,
  flags: Uint8Array,
  shown_K: number,
): boolean {
  const after = rowsAfterChanges(series, flags);
  if (after.changes < 1) return false;
  const saturation = saturationCurve(refrigerant, 'dew').temperature;
  const stays = rangeOf_K(series.suctionPressure_Pa.map(saturation)) >= limits.saturation_K;
  const as = { most_K: limits.scatter_K, shown_K, stays };
  return compared(series, 'ambientTemperature_K', after, as) !== null;
}

/** Range from the 5th to the 95th percentile, K; NaN without values. */
function rangeOf_K(values: Float64Array): number {
  const [low_K, high_K] = quantilesInPlace(finiteOf(values), [0.05, 0.95]);
  return high_K - low_K;
}

/** Rows in the quarter of an hour after each start and stop. */
function rowsAfterChanges({ time_s }: CircuitSeries, flags: Uint8Array) {
  const rows: number[] = [];
  let changes = 0;
  let changed_s = -Infinity;
  let before = 255;
  for (let i = 0; i < flags.length; i++) {
    if (flags[i] !== 255) {
      if (before !== 255 && flags[i] !== before) {
        changed_s = time_s[i];
        changes++;
      }
      before = flags[i];
    }
    if (time_s[i] - changed_s <= limits.around_s) rows.push(i);
  }
  return { rows, changes };
}

function compared(
  series: CircuitSeries,
  column: Place,
  after: { rows: readonly number[]; changes: number },
  { most_K, shown_K, stays = false }: { most_K: number; shown_K: number; stays?: boolean },
): Omit<AnotherPlace, 'column' | 'place'> | null {
  const difference = (i: number) => series.suctionTemperature_K[i] - series[column][i];
  const all = finiteOf(filled(series.time_s.length, difference));
  if (all.length < 8 * limits.rows) return null;
  const [offset_K, low_K, high_K] = quantilesInPlace(all, [0.5, 0.025, 0.975]);
  const scatter_K = (high_K - low_K) / 2;
  const allowed_K = most_K + shown_K;
  if (Math.abs(offset_K) > limits.offset_K + shown_K || scatter_K > allowed_K) return null;
  const range_K = rangeOf_K(series.suctionTemperature_K);
  if (!stays && range_K < Math.max(limits.range_K, limits.times * scatter_K)) return null;
  const off = after.rows.map((i) => Math.abs(difference(i) - offset_K)).filter(Number.isFinite);
  if (off.length < limits.rows || medianOf(off) > allowed_K) return null;
  if (quantileSorted(sortedFinite(off), 0.95) > 2 * allowed_K) return null;
  return { offset_K, scatter_K, range_K, changes: after.changes };
}
