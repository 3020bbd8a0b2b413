/** Fewest different values from which a step can be told. */
const fewestValues = 3;
/** Fraction of the differences that must be whole multiples of the step: single wrong values may lie off the grid. */
const onGrid = 0.97;

/**
 * Step of a quantised reading, in the unit of the values; 0 where none is seen.
 *
 * Sorted, the values of a quantised signal differ by whole multiples of the step. The smallest difference is taken, its
 * like averaged, and the grid accepted where nearly all differences are multiples of it. Differences that the store's
 * single precision makes (24 bits) do not count.
 *
 * @example resolutionOf([20, 20.5, 21.5, 21, 20.5]) // 0.5
 */
export function resolutionOf(values: ArrayLike<number>): number {
  const sorted = repeated(Float64Array.from(values).filter(Number.isFinite).sort());
  if (sorted.length < fewestValues) return 0;
  const rounding = 2 ** -21 * Math.max(Math.abs(sorted[0]), Math.abs(sorted[sorted.length - 1]));
  const differences: number[] = [];
  let smallest = Infinity;
  for (let i = 1; i < sorted.length; i++) {
    const difference = sorted[i] - sorted[i - 1];
    if (difference <= rounding) continue;
    differences.push(difference);
    if (difference < smallest) smallest = difference;
  }
  if (differences.length < fewestValues - 1) return 0;
  const like = differences.filter((difference) => difference < 1.5 * smallest);
  const step = like.reduce((sum, difference) => sum + difference, 0) / like.length;
  const allowed = 0.05 * step + 2 * rounding;
  let multiples = 0;
  for (const difference of differences) {
    const off = Math.abs(difference - Math.round(difference / step) * step);
    if (off <= allowed) multiples++;
  }
  return multiples >= onGrid * differences.length && allowed < 0.25 * step ? step : 0;
}

/** Of values that mostly repeat, those that do: a value seen once may be a wrong sample. */
function repeated(sorted: Float64Array): Float64Array {
  let different = sorted.length > 0 ? 1 : 0;
  for (let i = 1; i < sorted.length; i++) if (sorted[i] !== sorted[i - 1]) different++;
  if (different * 5 > sorted.length) return sorted;
  return sorted.filter((value, i) => value === sorted[i - 1] || value === sorted[i + 1]);
}

/** Standard deviation that rounding to a step adds: q / sqrt(12) (Widrow & Kollar, Quantization Noise, 2008; JCGM 100:2008, F.2.2.1). */
export const quantisationNoise = (step: number): number => step / Math.sqrt(12);
