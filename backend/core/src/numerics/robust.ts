/**
 * Order statistics without sorting a copy each time: `select` moves the k-th smallest value into place
 * (Hoare 1961, Commun. ACM 4:321). The array is reordered.
 */
export function select(values: Float64Array, k: number, length = values.length): number {
  let low = 0;
  let high = length - 1;
  while (low < high) {
    const pivot = values[(low + high) >> 1]!;
    let i = low;
    let j = high;
    while (i <= j) {
      while (values[i]! < pivot) i++;
      while (values[j]! > pivot) j--;
      if (i <= j) {
        const held = values[i]!;
        values[i] = values[j]!;
        values[j] = held;
        i++;
        j--;
      }
    }
    if (k <= j) high = j;
    else if (k >= i) low = i;
    else break;
  }
  return values[k]!;
}

/** Median in place; `NaN` for none. */
export function medianInPlace(values: Float64Array, length = values.length): number {
  if (length === 0) return NaN;
  const upper = select(values, length >> 1, length);
  if (length % 2 === 1) return upper;
  let lower = -Infinity;
  for (let i = 0; i < length >> 1; i++) if (values[i]! > lower) lower = values[i]!;
  return (lower + upper) / 2;
}

export function median(values: ArrayLike<number>): number {
  const copy = new Float64Array(values.length);
  for (let i = 0; i < copy.length; i++) copy[i] = values[i]!;
  return medianInPlace(copy);
}

/** `make(i)` for each place; typed arrays made from iterables are many times slower. */
export function filled(length: number, make: (index: number) => number): Float64Array {
  const out = new Float64Array(length);
  for (let i = 0; i < length; i++) out[i] = make(i);
  return out;
}

/** Median absolute deviation from `centre`, scaled to the standard deviation of a normal distribution. */
export function spreadAround(values: ArrayLike<number>, centre: number): number {
  const n = values.length;
  const deviations = new Float64Array(n);
  for (let i = 0; i < n; i++) deviations[i] = Math.abs(values[i]! - centre);
  return 1.4826 * medianInPlace(deviations);
}

/** Linear interpolation between order statistics; `sorted` ascending. */
export function quantileOfSorted(sorted: ArrayLike<number>, share: number): number {
  const n = sorted.length;
  if (n === 0) return NaN;
  const place = share * (n - 1);
  const i = Math.min(n - 2, Math.floor(place));
  if (n === 1) return sorted[0]!;
  const low = sorted[i]!;
  const high = sorted[i + 1]!;
  return Number.isFinite(low) && Number.isFinite(high)
    ? low + (place - i) * (high - low)
    : place - i < 0.5
      ? low
      : high;
}
