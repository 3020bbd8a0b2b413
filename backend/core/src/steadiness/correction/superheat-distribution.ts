import type { Steadiness } from '../windows/window-judgement.js';

/** Cumulative distribution of superheat over a window's steady time: fraction of the time under a value, K. */
export type SuperheatDistribution = (value_K: number) => number;

interface Anchor {
  at_K: number;
  logOdds: number;
}

const logOdds = (fraction: number): number => Math.log(fraction / (1 - fraction));

/**
 * The distribution of superheat in a window, from the percentiles and the fractions of time that were kept of it: linear
 * in log-odds between them, and on along the last line beyond them. The lowest value seen bounds it below.
 */
export function superheatDistribution(held: Steadiness): SuperheatDistribution {
  const anchors = anchorsOf(held);
  return (value_K) => {
    if (value_K <= held.minimum_K) return 0;
    if (anchors.length < 2) return value_K > held.median_K ? 1 : 0;
    let k = 1;
    while (k < anchors.length - 1 && anchors[k].at_K < value_K) k++;
    const [a, b] = [anchors[k - 1], anchors[k]];
    const y = a.logOdds + ((b.logOdds - a.logOdds) * (value_K - a.at_K)) / (b.at_K - a.at_K);
    return 1 / (1 + Math.exp(-y));
  };
}

/** Known points of the distribution in rising order; of two at one place, or out of order, the later is left out. */
function anchorsOf(held: Steadiness): Anchor[] {
  const { floodbackLimit_K: limit_K, uncertainty_K } = held;
  const known: [number, number][] = [
    [held.percentile1_K, 0.01],
    [held.percentile5_K, 0.05],
    [held.median_K, 0.5],
    [held.percentile95_K, 0.95],
    [limit_K - 2 * uncertainty_K, held.surelyUnderLimitFraction],
    [limit_K, held.underLimitFraction],
    [limit_K + 2 * uncertainty_K, held.possiblyUnderLimitFraction],
    [held.starvedLimit_K, 1 - held.starvedFraction],
  ];
  const inside = known
    .filter(([at_K, fraction]) => Number.isFinite(at_K) && fraction > 0 && fraction < 1)
    .sort(([a], [b]) => a - b);
  const anchors: Anchor[] = [];
  for (const [at_K, fraction] of inside) {
    const last = anchors[anchors.length - 1];
    if (last && (at_K - last.at_K < 1e-3 || logOdds(fraction) <= last.logOdds)) continue;
    anchors.push({ at_K, logOdds: logOdds(fraction) });
  }
  return anchors;
}
