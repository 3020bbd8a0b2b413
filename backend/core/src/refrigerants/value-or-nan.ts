/** NaN where a property has no value for the argument; anything else goes on up. */
export function valueOrNaN(compute: () => number): number {
  try {
    return compute();
  } catch (error) {
    if (error instanceof RangeError) return NaN;
    throw error;
  }
}
