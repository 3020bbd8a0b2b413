import { normalQuantile } from '../../numerics/index.js';
import { checkLifetimes, failureTimes, type Lifetime } from './lifetime.js';

export interface SurvivalStep {
  age: number;
  atRisk: number;
  failures: number;
  /** Fraction that lives beyond this age, with Greenwood's standard error and the interval on the log-log scale. */
  survival: number;
  standardError: number;
  low: number;
  high: number;
}

export interface SurvivalCurve {
  parts: number;
  failures: number;
  /** One for each age at which something failed; before the first the fraction is 1. */
  steps: SurvivalStep[];
  /** Age that half of them reach; null where more than half are still alive. */
  median: number | null;
  /** Oldest age at which anything was watched: beyond it nothing is known. */
  seenUntil: number;
}

/**
 * Survival over age with late entry and right censoring: S = prod (1 - d/n), n those that were watched before an age and
 * until it (Kaplan & Meier 1958, J. Am. Stat. Assoc. 53:457; with entry: Klein & Moeschberger, Survival Analysis, 4.6).
 * Variance by Greenwood; the interval is S^exp(+-z s) with s^2 = sum d/(n(n-d)) / (ln S)^2, which stays within 0 and 1.
 * Where the last part at risk fails, S is 0 and no interval is given but 0 to the step before it. A part is counted from
 * its entry on, so a curve whose first ages few were watched at begins with few at risk: `atRisk` says so.
 *
 * @param level of the interval, 0.95 by default.
 * @example survivalCurve([{ entry: 0, exit: 2, failed: true }, { entry: 1, exit: 5, failed: false }]).steps[0].survival // 0.5
 */
export function survivalCurve(lifetimes: readonly Lifetime[], level = 0.95): SurvivalCurve {
  checkLifetimes(lifetimes);
  const z = normalQuantile(0.5 + level / 2);
  let survival = 1;
  let sum = 0;
  let upper = 1;
  const steps = failureTimes(lifetimes).map(({ age, failures, atRisk }): SurvivalStep => {
    survival *= 1 - failures / atRisk;
    if (survival === 0) return { age, atRisk, failures, survival, standardError: 0, low: 0, high: upper };
    sum += failures / (atRisk * (atRisk - failures));
    const half = (z * Math.sqrt(sum)) / Math.abs(Math.log(survival));
    upper = survival ** Math.exp(-half);
    return {
      age,
      atRisk,
      failures,
      survival,
      standardError: survival * Math.sqrt(sum),
      low: survival ** Math.exp(half),
      high: upper,
    };
  });
  return {
    parts: lifetimes.length,
    failures: lifetimes.reduce((count, { failed }) => count + Number(failed), 0),
    steps,
    // Products of fractions miss a half by rounding.
    median: steps.find((step) => step.survival <= 0.5 + 1e-12)?.age ?? null,
    seenUntil: lifetimes.reduce((oldest, { exit }) => Math.max(oldest, exit), 0),
  };
}
