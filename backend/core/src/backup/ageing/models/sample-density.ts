/**
 * ln of the normal density of y with a covariance S, by Cholesky: -1/2 (ln det S + y' S^-1 y), constants left out.
 * The textbook form of a marginal likelihood, in which the terms are correlations of the errors.
 */
export function lnDensity(y: ArrayLike<number>, covariance: (i: number, j: number) => number): number {
  const n = y.length;
  const l = Array.from({ length: n }, () => new Float64Array(n));
  let sum = 0;
  const solved = new Float64Array(n);
  for (let i = 0; i < n; i++) {
    for (let j = 0; j <= i; j++) {
      let rest = covariance(i, j);
      for (let k = 0; k < j; k++) rest -= l[i]![k]! * l[j]![k]!;
      l[i]![j] = i === j ? Math.sqrt(rest) : rest / l[j]![j]!;
    }
    let rest = y[i]!;
    for (let k = 0; k < i; k++) rest -= l[i]![k]! * solved[k]!;
    solved[i] = rest / l[i]![i]!;
    sum += Math.log(l[i]![i]!) + solved[i]! ** 2 / 2;
  }
  return -sum;
}
