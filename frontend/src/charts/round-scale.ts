/** Ends on steps of 1, 2 or 5 times a power of ten, four or so of them. */
export function roundScale(low: number, high: number): { min: number; max: number; interval: number } {
  const rough = (high - low) / 4;
  const power = 10 ** Math.floor(Math.log10(rough));
  const interval = [1, 2, 5, 10].map((step) => step * power).find((step) => step >= rough) ?? rough;
  return { min: Math.floor(low / interval) * interval, max: Math.ceil(high / interval) * interval, interval };
}
