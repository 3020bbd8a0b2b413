/** Step of a quantised reading: the smallest difference of two values, where all differences are whole multiples of it; else 0. */
export function readingResolution(value: Float64Array): number {
  const few = stepOf(value.slice(0, 48));
  return few > 0 ? stepOf(value.slice()) : 0;
}

function stepOf(sorted: Float64Array): number {
  sorted.sort();
  const range = sorted[sorted.length - 1] - sorted[0];
  if (!(range > 0)) return Infinity;
  let step = Infinity;
  for (let i = 1; i < sorted.length; i++) {
    const difference = sorted[i] - sorted[i - 1];
    if (difference > 1e-6 * range && difference < step) step = difference;
  }
  for (let i = 1; i < sorted.length; i++) {
    const steps = (sorted[i] - sorted[i - 1]) / step;
    if (Math.abs(steps - Math.round(steps)) > 0.02) return 0;
  }
  return step;
}
