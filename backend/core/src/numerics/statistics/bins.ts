import { filled } from '../arrays/typed-array.js';

/** Neighbouring values joined: `bins` of `perBin` each, from the value at `offset` on. */
export interface Binning {
  offset: number;
  perBin: number;
  bins: number;
}

/**
 * A statistic of each bin.
 *
 * @example overBins(Float64Array.of(9, 1, 3, 5, 7), { offset: 1, perBin: 2, bins: 2 }, mean) // 2, 6
 */
export const overBins = (
  values: Float64Array,
  { offset, perBin, bins }: Binning,
  statistic: (bin: Float64Array) => number,
): Float64Array =>
  filled(bins, (b) => statistic(values.subarray(offset + b * perBin, offset + (b + 1) * perBin)));
