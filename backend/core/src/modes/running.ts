import type { CircuitSeries } from '../telemetry/circuit-series.js';

/**
 * Whether the compressor runs at each sample: 1 yes, 0 no, 255 not known. By its load over 1 %; without a load signal by a
 * ratio of the two pressures over 1.15, whichever is the higher, together with a valve over 1 % open where that is sent;
 * failing the pressures, by the valve alone.
 */
export function runningSamples(series: CircuitSeries): Uint8Array {
  const n = series.time_s.length;
  const runs = new Uint8Array(n).fill(255);
  for (let i = 0; i < n; i++) {
    const load = series.compressorLoad_pct[i];
    if (Number.isFinite(load)) {
      runs[i] = load > 1 ? 1 : 0;
      continue;
    }
    const opening = series.valveOpening_pct[i];
    const ratio = series.dischargePressure_Pa[i] / series.suctionPressure_Pa[i];
    if (Number.isFinite(ratio)) runs[i] = (ratio > 1.15 || ratio < 1 / 1.15) && !(opening <= 1) ? 1 : 0;
    else if (Number.isFinite(opening)) runs[i] = opening > 1 ? 1 : 0;
  }
  return runs;
}
