import { firstFinite } from '../../numerics/index.js';

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
  if (isConstant(values)) return 0;
  // Values without a grid are most; a look at some of them spares sorting all (a quarter of the time of a window's habits).
  if (values.length > 3 * glance && offGrid(gridOf(spaced(values, glance).sort()))) return 0;
  const sorted = repeated(spaced(values, mostValues).sort());
  const grid = gridOf(sorted);
  return grid !== null && grid.fraction >= onGrid && grid.allowed < 0.25 * grid.step ? grid.step : 0;
}

/** A column that is not sent, or a setpoint that stands: nothing to sort. */
function isConstant(values: ArrayLike<number>): boolean {
  const first = firstFinite(values);
  for (let i = first + 1; i < values.length; i++)
    if (Number.isFinite(values[i]) && values[i] !== values[first]) return false;
  return true;
}

/** More values only make the smallest difference smaller: what shows no grid among some shows none among all. */
const offGrid = (some: Grid | null): boolean =>
  some !== null && (some.fraction < noGrid || some.allowed >= 0.25 * some.step);

interface Grid {
  step: number;
  /** What a difference may lie off a multiple of the step. */
  allowed: number;
  /** Fraction of the differences that are multiples of the step. */
  fraction: number;
}

/** The step that the smallest differences of ascending values suggest; null where too few differ. The array is overwritten. */
function gridOf(sorted: Float64Array): Grid | null {
  if (sorted.length < fewestValues) return null;
  const rounding = 2 ** -21 * Math.max(Math.abs(sorted[0]), Math.abs(sorted[sorted.length - 1]));
  const differences = sorted;
  let count = 0;
  let smallest = Infinity;
  let before = sorted[0];
  for (let i = 1; i < sorted.length; i++) {
    const difference = sorted[i] - before;
    before = sorted[i];
    if (difference <= rounding) continue;
    differences[count++] = difference;
    if (difference < smallest) smallest = difference;
  }
  if (count < fewestValues - 1) return null;
  let like = 0;
  let sum = 0;
  for (let k = 0; k < count; k++)
    if (differences[k] < 1.5 * smallest) {
      sum += differences[k];
      like++;
    }
  const step = sum / like;
  const allowed = 0.05 * step + 2 * rounding;
  let multiples = 0;
  for (let k = 0; k < count; k++) {
    const off = Math.abs(differences[k] - Math.round(differences[k] / step) * step);
    if (off <= allowed) multiples++;
  }
  return { step, allowed, fraction: multiples / count };
}

/** Most values that a step is looked for in. */
const mostValues = 4000;
/**
 * Values of the first look, and the fraction of multiples under which no grid is there: without one about a tenth are by
 * chance; where the smallest difference happens to be two or three steps, a half or a third.
 */
const glance = 100;
const noGrid = 0.25;

/** The finite values, of many only every k-th: a step shows in some thousand of them, and sorting is what costs. */
function spaced(values: ArrayLike<number>, most: number): Float64Array {
  const every = Math.max(1, Math.ceil(values.length / most));
  const taken = new Float64Array(Math.ceil(values.length / every));
  let count = 0;
  for (let i = 0; i < values.length; i += every) if (Number.isFinite(values[i])) taken[count++] = values[i];
  return taken.subarray(0, count);
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
