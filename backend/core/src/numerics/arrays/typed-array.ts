/** Index of the first finite value; the length where there is none. */
export function firstFinite(values: ArrayLike<number>): number {
  let i = 0;
  while (i < values.length && !Number.isFinite(values[i])) i++;
  return i;
}

/** `make(i)` for each index; typed arrays made from iterables are many times slower. */
export function filled(length: number, make: (index: number) => number): Float64Array {
  const out = new Float64Array(length);
  for (let i = 0; i < length; i++) out[i] = make(i);
  return out;
}

/** From each value to the next: one fewer than the values, none for none. */
export const spacingsOf = (values: ArrayLike<number>): Float64Array =>
  filled(Math.max(0, values.length - 1), (i) => values[i + 1]! - values[i]!);
