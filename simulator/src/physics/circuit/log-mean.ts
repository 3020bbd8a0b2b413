const least_K = 0.05;

/** Log-mean of the temperature differences at the two ends of a counterflow exchanger, K; neither taken under 0.05 K. */
export function logMean_K(first_K: number, second_K: number): number {
  const a = first_K > least_K ? first_K : least_K;
  const b = second_K > least_K ? second_K : least_K;
  const difference = a - b;
  return Math.abs(difference) < 1e-3 * a ? (a + b) / 2 : difference / Math.log(a / b);
}
