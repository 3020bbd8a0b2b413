import type { WindowJudgement } from '../../windows/window-judgement.js';

/** Fraction of steady running under a limit. */
export interface FractionOfTime {
  fraction: number;
  /** What it is at least, at a confidence of 95 % to one side. */
  atLeast: number;
}

/** 95th percentile of the standard normal distribution. */
const z95 = 1.645;
/** A window that is under the limit nearly all the time carries on the excursion of one before it that is so, too. */
const throughout = 0.99;

/**
 * A fraction of time that was seen as so many separate excursions.
 *
 * Time under a limit and time over it alternate. Where both last exponentially distributed times of means m1 and m0, the
 * fraction p seen over a long time T varies by 2 p (1 - p) m1 m0 / ((m1 + m0) T) (two-state Markov process: Cox & Miller
 * 1965, The Theory of Stochastic Processes, ch. 4; the autocorrelation of the samples is in it). With E = T / (m1 + m0)
 * excursions that is 2 (p (1 - p))^2 / E, or a standard deviation of sqrt(2 / E) in log-odds, in which the limit is drawn.
 */
export function fractionSeenAs(fraction: number, excursions: number): FractionOfTime {
  if (!(fraction > 0)) return { fraction: 0, atLeast: 0 };
  if (fraction >= 1) return { fraction: 1, atLeast: 1 };
  const logOdds = Math.log(fraction / (1 - fraction)) - z95 * Math.sqrt(2 / Math.max(1, excursions));
  return { fraction, atLeast: 1 / (1 + Math.exp(-logOdds)) };
}

/** Of the steady time of several windows; a window with any time under the limit has one excursion at least. */
export function timeUnderLimit(
  windows: readonly WindowJudgement[],
  of: 'as-read' | 'surely',
): FractionOfTime {
  let time = 0;
  let under = 0;
  let excursions = 0;
  let before = 0;
  for (const { superheat } of windows) {
    if (!superheat) continue;
    const fraction = of === 'surely' ? superheat.surelyUnderLimitFraction : superheat.underLimitFraction;
    const seen = of === 'surely' ? superheat.surelyUnderLimitExcursions : superheat.underLimitExcursions;
    time += superheat.minutes;
    under += superheat.minutes * fraction;
    if (fraction > 0 && !(fraction > throughout && before > throughout)) excursions += Math.max(1, seen);
    before = fraction;
  }
  return fractionSeenAs(time > 0 ? under / time : 0, excursions);
}
