/** Log-mean of the differences at the dew and the bubble point over the difference at the dew point, 0..1; 1 without glide. */
export function meanOverDew(dewDifference_K: number, bubbleDifference_K: number): number {
  if (!(dewDifference_K > 0) || dewDifference_K - bubbleDifference_K < 1e-3) return 1;
  const ratio = Math.max(0.02, bubbleDifference_K / dewDifference_K);
  return ratio > 0.999 ? 1 : (1 - ratio) / -Math.log(ratio);
}
