import { type Binning, dot, extendBasis, filled, projectOut } from '../../../numerics/index.js';
import type { Prior } from './temperature-law.js';

/** A straight line takes two degrees of freedom. */
const fewest = 4;
/** Values are winsorised at so many scatters. */
const winsorLimit = 2.5;

/**
 * The temperature law estimated within the bins alone, each without its own straight line, so that ageing from bin to
 * bin does not enter it. The prior where bins are too small for an estimate.
 *
 * @param ln logarithm of each test's value, `warmer_K` its temperature against any one, in time order
 * @param scatter of one test
 */
export function lawWithinBins(
  { ln, warmer_K }: { ln: Float64Array; warmer_K: Float64Array },
  { offset, perBin, bins }: Binning,
  prior: Prior,
  scatter: number,
): { perK: number; uncertainty: number } {
  let ww = (scatter / prior.spread) ** 2;
  let wy = prior.mean * ww;
  if (perBin >= fewest) {
    const basis: Float64Array[] = [];
    extendBasis(basis, new Float64Array(perBin).fill(1));
    extendBasis(
      basis,
      filled(perBin, (i) => i),
    );
    for (let b = 0; b < bins; b++) {
      const from = offset + b * perBin;
      const w = projectOut(basis, warmer_K.subarray(from, from + perBin));
      const y = projectOut(basis, ln.subarray(from, from + perBin));
      for (let i = 0; i < perBin; i++) {
        const expected = prior.mean * w[i]!;
        const off = Math.max(-winsorLimit * scatter, Math.min(winsorLimit * scatter, y[i]! - expected));
        y[i] = expected + off;
      }
      ww += dot(w, w);
      wy += dot(w, y);
    }
  }
  return { perK: wy / ww, uncertainty: scatter / Math.sqrt(ww) };
}
