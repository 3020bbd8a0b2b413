import { quantileSorted, sortedFinite } from '../../numerics/index.js';
import type { CircuitSeries } from '../../telemetry/circuit-series.js';

/** Indices `from` (included) to `to` (excluded) of a stretch in one state. */
export interface Stretch {
  from: number;
  to: number;
}

/**
 * Running by the compressor's load; where that is missing, by a discharge pressure 1.15 times the suction pressure or,
 * failing both, an open valve. 1 running, 0 standing, 255 unknown.
 */
export function runningFlags(series: CircuitSeries): Uint8Array {
  const flags = new Uint8Array(series.time_s.length);
  for (let i = 0; i < flags.length; i++) {
    const load = series.compressorLoad_pct[i];
    const ratio = series.dischargePressure_Pa[i] / series.suctionPressure_Pa[i];
    const opening = series.valveOpening_pct[i];
    if (Number.isFinite(load)) flags[i] = load > 1 ? 1 : 0;
    // Swapped transducers give the inverse ratio.
    else if (Number.isFinite(ratio)) flags[i] = ratio > 1.15 || ratio < 1 / 1.15 ? 1 : 0;
    else if (Number.isFinite(opening)) flags[i] = opening > 1 ? 1 : 0;
    else flags[i] = 255;
  }
  return flags;
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
export function medianOf(values: Iterable<number>, least = 1): number {
  const sorted = sortedFinite([...values]);
  return sorted.length < least ? NaN : quantileSorted(sorted, 0.5);
}
