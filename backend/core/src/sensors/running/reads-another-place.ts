import { quantileSorted, sortedFinite } from '../../numerics/index.js';
import type { CircuitSeries } from '../../telemetry/circuit-series.js';
import { medianOf } from './running-state.js';

/** Thermometers whose place the suction pipe never follows through starts and stops. */
const places = {
  enteringWaterTemperature_K: 'entering water',
  leavingWaterTemperature_K: 'leaving water',
  ambientTemperature_K: 'ambient',
  condenserEnteringTemperature_K: 'condenser entering',
  condenserLeavingTemperature_K: 'condenser leaving',
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
  /** The place must have moved by so much, and by so many times the scatter, K. */
  range_K: 0.8,
  times: 6,
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
    const one = compared(series, column, after, shown_K);
    return one ? [one] : [];
  });
  return found.sort((a, b) => a.scatter_K - b.scatter_K)[0] ?? null;
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
  shown_K: number,
): AnotherPlace | null {
  const difference = (i: number) => series.suctionTemperature_K[i] - series[column][i];
  const all = sortedFinite(Float64Array.from(series.time_s, (_, i) => difference(i)));
  if (all.length < 8 * limits.rows) return null;
  const offset_K = quantileSorted(all, 0.5);
  const scatter_K = (quantileSorted(all, 0.975) - quantileSorted(all, 0.025)) / 2;
  const allowed_K = limits.scatter_K + shown_K;
  if (Math.abs(offset_K) > limits.offset_K + shown_K || scatter_K > allowed_K) return null;
  const own = sortedFinite(series.suctionTemperature_K);
  const range_K = quantileSorted(own, 0.95) - quantileSorted(own, 0.05);
  if (range_K < Math.max(limits.range_K, limits.times * scatter_K)) return null;
  const off = after.rows.map((i) => Math.abs(difference(i) - offset_K)).filter(Number.isFinite);
  if (off.length < limits.rows || medianOf(off) > allowed_K) return null;
  if (quantileSorted(sortedFinite(off), 0.95) > 2 * allowed_K) return null;
  return { column, place: places[column], offset_K, scatter_K, range_K, changes: after.changes };
}
