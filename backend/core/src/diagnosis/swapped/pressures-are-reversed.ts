import { runningSamples } from '../../modes/running.js';
import { fractionReversed } from '../../sensors/running/running-evidence.js';
import type { CircuitSeries } from '../../telemetry/circuit-series.js';

/** Fraction of the running with suction over discharge pressure from which on a circuit is left out. Judgement, no source. */
const leastReversed = 0.1;

/**
 * Whether suction is over discharge pressure in part of the newest running. No compressor runs so, and a transducer of another
 * circuit hardly reads so: while that circuit stands, its pressure lies between those of one that runs.
 */
export function pressuresAreReversed(series: CircuitSeries, refrigerant: string): boolean {
  const runs = runningSamples(series, refrigerant);
  const running = Array.from(runs.keys()).filter((k) => runs[k] === 1);
  return (fractionReversed(series, running, { ratio: 1, least: 1 }) ?? 0) > leastReversed;
}
