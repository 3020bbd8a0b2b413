import { filled, medianInPlace } from './robust.js';

/** Median of each bin of neighbouring tests: `total` bins of `perBin` tests, the first beginning at `offset`. */
export function binMedians(
  values: Float64Array,
  offset: number,
  perBin: number,
  total: number,
): Float64Array {
  const scratch = new Float64Array(perBin);
  return filled(total, (b) => {
    for (let i = 0; i < perBin; i++) scratch[i] = values[offset + b * perBin + i]!;
    return medianInPlace(scratch);
  });
}

/** Mean of each bin. */
export function binMeans(values: Float64Array, offset: number, perBin: number, total: number): Float64Array {
  const out = new Float64Array(total);
  for (let b = 0; b < total; b++) {
    let sum = 0;
    for (let i = 0; i < perBin; i++) sum += values[offset + b * perBin + i]!;
    out[b] = sum / perBin;
  }
  return out;
}
