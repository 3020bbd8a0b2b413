import { superheat } from '../../superheat/index.js';
import type { CircuitEntry, CircuitSeries } from '../../telemetry/index.js';
import type { PowerLoss } from '../resting/index.js';
import type { CircuitAroundLoss, CircuitLossReview } from './power-loss-review.js';

const restartWindow_s = 600;

/**
 * The restart: the first time after the mains are back that the compressor is loaded or, where load is not sent, that
 * the high pressure rises over the low one by a tenth of the low.
 */
export function restartOf(series: CircuitSeries, loss: PowerLoss): number | null {
  if (loss.to_s === null) return null;
  let least = Infinity;
  for (let i = 0; i < series.time_s.length; i++) {
    const t = series.time_s[i]!;
    if (t < loss.from_s) continue;
    const difference = series.dischargePressure_Pa[i]! - series.suctionPressure_Pa[i]!;
    if (t < loss.to_s) {
      if (difference < least) least = difference;
      continue;
    }
    const load = series.compressorLoad_pct[i]!;
    if (load > 1) return t;
    if (Number.isNaN(load) && difference > Math.max(0, least) + 0.1 * series.suctionPressure_Pa[i]!) return t;
    if (difference < least) least = difference;
  }
  return null;
}

/** Lowest superheat in the first ten minutes, and how long it was under the floodback limit. */
export function restartFigures(
  entry: CircuitEntry,
  { series, refrigerant }: CircuitAroundLoss,
  restartAt_s: number | null,
) {
  if (restartAt_s === null) return { restartLeastSuperheat_K: null, restartUnderFloodback_s: null };
  let least = Infinity;
  let under_s = 0;
  let last_s: number | null = null;
  for (let i = 0; i < series.time_s.length; i++) {
    const t = series.time_s[i]!;
    if (t < restartAt_s || t > restartAt_s + restartWindow_s) continue;
    const value = superheatAt(refrigerant, series, i);
    if (value === null) continue;
    if (value < least) least = value;
    // A gap is no evidence of floodback: no sample stands for more than half a minute.
    if (value < entry.floodbackLimit_K && last_s !== null) under_s += Math.min(30, t - last_s);
    last_s = t;
  }
  return least === Infinity
    ? { restartLeastSuperheat_K: null, restartUnderFloodback_s: null }
    : { restartLeastSuperheat_K: least, restartUnderFloodback_s: under_s };
}

/**
 * Of the circuits that were seen to start again the one that the restart left worst off: longest under the floodback
 * limit, and of those that were under it for as long the one with the lowest superheat. Undefined: none was seen.
 */
export function worstAtRestart(circuits: readonly CircuitLossReview[]): CircuitLossReview | undefined {
  return circuits
    .filter((circuit) => circuit.restartLeastSuperheat_K !== null)
    .sort(
      (a, b) =>
        (b.restartUnderFloodback_s ?? 0) - (a.restartUnderFloodback_s ?? 0) ||
        a.restartLeastSuperheat_K! - b.restartLeastSuperheat_K!,
    )[0];
}

function superheatAt(refrigerant: string, series: CircuitSeries, i: number): number | null {
  const pressure = series.suctionPressure_Pa[i]!;
  const temperature = series.suctionTemperature_K[i]!;
  if (!(pressure > 0) || !(temperature > 0)) return null;
  try {
    const value = superheat(refrigerant, pressure, temperature);
    return Number.isFinite(value) ? value : null;
  } catch {
    return null;
  }
}
