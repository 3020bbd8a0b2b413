import jstat from 'jstat';

/** Value that Student's t with `degrees` degrees of freedom stays under with `probability`; degrees over 1e4 are taken as normal. */
export const studentQuantile = (probability: number, degrees: number): number =>
  degrees > 1e4 ? normalQuantile(probability) : jstat.studentt.inv(probability, degrees);

/** Value that a standard normal variable stays under with `probability` (0 to 1, ends excluded). */
export const normalQuantile = (probability: number): number => jstat.normal.inv(probability, 0, 1);

/** Probability that a standard normal variable is under `value`. */
export const normalProbability = (value: number): number => jstat.normal.cdf(value, 0, 1);

/** Value that a sum of `degrees` squared standard normal variables stays under with `probability`. */
export const chiSquareQuantile = (probability: number, degrees: number): number =>
  jstat.chisquare.inv(probability, degrees);

/** Probability that a sum of `degrees` squared standard normal variables is under `value`. */
export const chiSquareProbability = (value: number, degrees: number): number =>
  jstat.chisquare.cdf(value, degrees);

/**
 * Value that a squared Mahalanobis distance over `size` quantities stays under with `probability`, where the scale was
 * estimated with `degrees` degrees of freedom: `size` times the quantile of F(size, degrees).
 */
export const squaredDistanceQuantile = (probability: number, size: number, degrees: number): number =>
  degrees > 1e4
    ? chiSquareQuantile(probability, size)
    : size * jstat.centralF.inv(probability, size, degrees);

/** Value that a beta variable with shapes `a` and `b` stays under with `probability`. */
export const betaQuantile = (probability: number, a: number, b: number): number =>
  jstat.beta.inv(probability, a, b);
