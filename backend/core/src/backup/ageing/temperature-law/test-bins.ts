import { filled, medianInPlace } from '../../../numerics/robust.js';

/** Neighbouring tests joined: `bins` of `perBin` each, from the test `offset` on. */
export interface Binning {
  offset: number;
  perBin: number;
  bins: number;
}

/** Median of each bin. */
export function binMedians(values: Float64Array, { offset, perBin, bins }: Binning): Float64Array {
  const scratch = new Float64Array(perBin);
  return filled(bins, (b) => {
    for (let i = 0; i < perBin; i++) scratch[i] = values[offset + b * perBin + i]!;
    return medianInPlace(scratch);
  });
}

/** Mean of each bin. */
export function binMeans(values: Float64Array, { offset, perBin, bins }: Binning): Float64Array {
  const out = new Float64Array(bins);
  for (let b = 0; b < bins; b++) {
    let sum = 0;
    for (let i = 0; i < perBin; i++) sum += values[offset + b * perBin + i]!;
    out[b] = sum / perBin;
  }
  return out;
}
