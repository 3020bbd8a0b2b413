import { fitLinear } from './linear-fit.js';

/** Fewer bins than this after a bend say nothing of the pace since. */
export const fewestAfterBend = 6;
const leastBendF = 9;

/**
 * Where ageing changed its pace: the bin from which a second slope makes the fit so much better than any smooth bend
 * does that chance would do it in under one module of twenty (largest F of a hinge over all places, Andrews 1993,
 * Econometrica 61:821, whose 5 % point for one slope is about 8.9: MEMORY). 0 where one line does.
 */
export function bendBin(x: Float64Array, y: Float64Array): number {
  const n = x.length;
  if (n < 2 * fewestAfterBend) return 0;
  const ones = new Float64Array(n).fill(1);
  const squared = x.map((value) => value * value);
  const smooth = fitLinear([ones, x, squared], y);
  if (!smooth) return 0;
  const smoothSquares = smooth.residualVariance * smooth.degreesOfFreedom;
  let best = 0;
  let bestF = leastBendF;
  const hinge = new Float64Array(n);
  for (let k = 3; k <= n - fewestAfterBend; k++) {
    for (let i = 0; i < n; i++) hinge[i] = Math.max(0, x[i]! - x[k]!);
    const fit = fitLinear([ones, x, hinge], y);
    if (!fit || !(fit.residualVariance > 0)) continue;
    const f = (smoothSquares - fit.residualVariance * fit.degreesOfFreedom) / fit.residualVariance;
    if (f > bestF) {
      bestF = f;
      best = k;
    }
  }
  return best;
}
