import { saturationCurve } from '../refrigerants/index.js';
import type { CircuitSeries } from '../telemetry/circuit-series.js';

const longest_s = 600;
/** So far the evaporating temperature must fall under what it was before, K. */
const fall_K = 5;
/** Without a valve signal, or with one that stays open, a fall that no change of load makes in minutes, K. */
const fallWithoutValve_K = 10;
const before_s = 900;

/**
 * Stretches in which the compressor empties the evaporator before a stop: the valve is shut, or nearly, and the evaporating
 * temperature falls far under its level of the quarter of an hour before, until the compressor stops.
 *
 * @param runs 1 where the compressor runs
 * @returns first index and the index of the stop, in time order
 */
export function pumpDowns(
  series: CircuitSeries,
  runs: Uint8Array,
  refrigerant: string,
): { from: number; to: number }[] {
  const { time_s, suctionPressure_Pa, valveOpening_pct } = series;
  const dew = saturationCurve(refrigerant, 'dew').temperature;
  const found: { from: number; to: number }[] = [];
  for (let stop = 1; stop < runs.length; stop++) {
    if (runs[stop] !== 0 || runs[stop - 1] !== 1) continue;
    let from = stop - 1;
    while (
      from > 0 &&
      runs[from - 1] === 1 &&
      valveOpening_pct[from - 1] <= 2 &&
      time_s[stop] - time_s[from - 1] <= longest_s
    )
      from--;
    const shut = valveOpening_pct[from] <= 2;
    if (!shut) {
      from = stop - 1;
      while (from > 0 && runs[from - 1] === 1 && time_s[stop] - time_s[from - 1] <= 240) from--;
    }
    const lowest_K = dew(suctionPressure_Pa[lowestBetween(suctionPressure_Pa, from, stop)]);
    const usual_K = dew(meanBetween(series, from, runs));
    if (usual_K - lowest_K >= (shut ? fall_K : fallWithoutValve_K)) found.push({ from, to: stop });
  }
  return found;
}

function lowestBetween(values: Float64Array, from: number, to: number): number {
  let lowest = from;
  for (let i = from; i < to; i++) if (values[i] < values[lowest] || Number.isNaN(values[lowest])) lowest = i;
  return lowest;
}

/** Mean suction pressure of the running quarter of an hour before a sample; NaN without. */
function meanBetween(series: CircuitSeries, before: number, runs: Uint8Array): number {
  let sum = 0;
  let count = 0;
  for (let i = before - 1; i >= 0 && series.time_s[before] - series.time_s[i] <= before_s; i--) {
    if (runs[i] !== 1 || !Number.isFinite(series.suctionPressure_Pa[i])) continue;
    sum += series.suctionPressure_Pa[i];
    count++;
  }
  return count > 0 ? sum / count : NaN;
}
