import { runningSamples } from '../../modes/running.js';
import type { CircuitSeries } from '../../telemetry/circuit-series.js';

/** Fraction of the running with suction over discharge pressure from which on a circuit is left out. Judgement, no source. */
const leastReversed = 0.1;

/**
 * Whether suction is over discharge pressure in part of the newest running. No compressor runs so, and a transducer of another
 * circuit hardly reads so: while that circuit stands, its pressure lies between those of one that runs.
 */
export function pressuresAreReversed(series: CircuitSeries, refrigerant: string): boolean {
  const runs = runningSamples(series, refrigerant);
  let [reversed, compared] = [0, 0];
  for (let k = 0; k < runs.length; k++) {
    const difference_Pa = series.suctionPressure_Pa[k] - series.dischargePressure_Pa[k];
    if (runs[k] !== 1 || !Number.isFinite(difference_Pa)) continue;
    compared++;
    if (difference_Pa > 0) reversed++;
  }
  return reversed > leastReversed * compared;
}
