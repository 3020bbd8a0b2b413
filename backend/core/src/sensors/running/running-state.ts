import { operatingModesOf, type ModeContext } from '../../modes/operating-modes.js';
import { runningSamples } from '../../modes/running.js';
import { finiteOf, quantileInPlace } from '../../numerics/index.js';
import type { CircuitSeries } from '../../telemetry/circuit-series.js';

/** Indices `from` (included) to `to` (excluded) of a stretch in one state. */
export interface Stretch {
  from: number;
  to: number;
}

/** 1 while the circuit cools, 0 while it stands, 255 where it does anything else or nothing is known. Without a context any running counts. */
export function runningFlags(series: CircuitSeries, context?: ModeContext): Uint8Array {
  const runs = runningSamples(series, context?.refrigerant);
  if (!context) return runs;
  const modes = operatingModesOf(series, context, runs);
  return runs.map((on, i) => (on === 1 && modes[i] !== 'cooling' ? 255 : on));
}

/** Stretches of one state at least `shortest_s` long; silences up to ten minutes and unknown samples do not end one. */
export function stretchesOf(
  series: CircuitSeries,
  flags: Uint8Array,
  state: 0 | 1,
  shortest_s: number,
): Stretch[] {
  const out: Stretch[] = [];
  let from = -1;
  let last = -1;
  const close = () => {
    if (from >= 0 && series.time_s[last] - series.time_s[from] >= shortest_s)
      out.push({ from, to: last + 1 });
    from = -1;
  };
  for (let i = 0; i < flags.length; i++) {
    if (flags[i] === 255) continue;
    if (from >= 0 && (flags[i] !== state || series.time_s[i] - series.time_s[last] > 600)) close();
    if (flags[i] === state) {
      if (from < 0) from = i;
      last = i;
    }
  }
  close();
  return out;
}

/** Indices of samples that run and have run for `settled_s` already. */
export function settledRunning(series: CircuitSeries, flags: Uint8Array, settled_s = 900): number[] {
  const out: number[] = [];
  for (const { from, to } of stretchesOf(series, flags, 1, settled_s)) {
    for (let i = from; i < to; i++) {
      if (flags[i] === 1 && series.time_s[i] - series.time_s[from] >= settled_s) out.push(i);
    }
  }
  return out;
}

/** Median of the finite values, NaN when fewer than `least` are. */
export function medianOf(values: ArrayLike<number>, least = 1): number {
  const kept = finiteOf(values);
  return kept.length < least ? NaN : quantileInPlace(kept, 0.5);
}
