import type { HalfCycle } from './half-cycles.js';

/**
 * Load regularity of Haegglund 1995 (Control Eng. Practice 3:1543): the integrated absolute error between zero crossings
 * is compared with 2 a / w_u, the half-cycle of a sine of amplitude `a` and angular frequency 2 pi / period.
 * Returns the fraction of the half-cycles that fit into the span which reach that limit, 0..1.
 * The area of a half-cycle is its integrated absolute error, because the sign does not change within it.
 */
export function haegglundLoadFraction(
  halves: HalfCycle[],
  amplitude: number,
  period_s: number,
  span_s: number,
): number {
  const limit = (amplitude * period_s) / Math.PI;
  const room = (2 * span_s) / period_s;
  let loads = 0;
  for (const half of halves) if (Math.abs(half.area) >= limit) loads++;
  return room > 0 ? Math.min(1, loads / room) : 0;
}

/**
 * Half-cycle similarity of Forsman & Stattin 1999: half-cycles i and i+2 (of one sign) are alike when the ratio of their
 * areas lies within 0.6..1/0.6 and that of their lengths within 0.75..1/0.75. Returns the fraction of alike pairs, 0..1;
 * null under four pairs.
 */
export function forsmanStattinSimilarity(halves: HalfCycle[]): number | null {
  let pairs = 0;
  let alike = 0;
  for (let i = 0; i + 2 < halves.length; i++) {
    const a = halves[i];
    const b = halves[i + 2];
    const areas = Math.abs(a.area) / Math.abs(b.area);
    const lengths = a.length_s / b.length_s;
    pairs++;
    if (areas >= 0.6 && areas <= 1 / 0.6 && lengths >= 0.75 && lengths <= 1 / 0.75) alike++;
  }
  return pairs >= 4 ? alike / pairs : null;
}

export interface CovarianceRegularity {
  /** Thornhill's r = mean period / (3 x standard deviation of the periods); capped at 100. */
  regularity: number;
  period_s: number;
  intervals: number;
}

/**
 * Regularity of the zero crossings of an autocovariance (Thornhill, Huang & Zhang 2003, J. Process Control 13:91).
 * Each interval between crossings is half a period; r above 1 means that the spread is under a third of the period.
 * Alone it calls 7 to 14 % of strongly coloured noise oscillating. `rho` from lag 0 at even steps; null under four intervals.
 */
export function thornhillRegularity(
  rho: Float64Array,
  step_s: number,
  mostIntervals = 11,
): CovarianceRegularity | null {
  const crossings: number[] = [];
  for (let k = 1; k < rho.length && crossings.length <= mostIntervals; k++) {
    const a = rho[k - 1];
    const b = rho[k];
    if (!Number.isFinite(b)) break;
    if ((a > 0 && b <= 0) || (a < 0 && b >= 0)) crossings.push((k - 1 + a / (a - b)) * step_s);
  }
  const intervals = crossings.length - 1;
  if (intervals < 4) return null;
  let sum = 0;
  let squares = 0;
  for (let i = 1; i < crossings.length; i++) {
    const period = 2 * (crossings[i] - crossings[i - 1]);
    sum += period;
    squares += period * period;
  }
  const mean = sum / intervals;
  const deviation = Math.sqrt(Math.max(0, (squares - intervals * mean * mean) / (intervals - 1)));
  return { regularity: Math.min(100, mean / (3 * Math.max(deviation, 1e-12))), period_s: mean, intervals };
}

/**
 * Decay ratio of the autocorrelation (Miao & Seborg 1999): with the first minimum, first maximum and second minimum,
 * b = (rho0 + rhoMax1)/2 - rhoMin1, a = rhoMax1 - (rhoMin1 + rhoMin2)/2, and a/b above 0.5 an oscillation.
 * The extremes are sought around the lags at which a cycle of `period_s` has them. Null where the lags do not reach that far.
 */
export function miaoSeborgRatio(rho: Float64Array, step_s: number, period_s: number): number | null {
  const extreme = (cycles: number, sign: 1 | -1): number | null => {
    const from = Math.max(1, Math.round(((cycles - 0.25) * period_s) / step_s));
    const to = Math.round(((cycles + 0.25) * period_s) / step_s);
    if (to >= rho.length) return null;
    let best = -Infinity;
    for (let k = from; k <= to; k++) if (sign * rho[k] > best) best = sign * rho[k];
    return Number.isFinite(best) ? sign * best : null;
  };
  const minimum1 = extreme(0.5, -1);
  const maximum1 = extreme(1, 1);
  const minimum2 = extreme(1.5, -1);
  if (minimum1 === null || maximum1 === null || minimum2 === null) return null;
  const b = (rho[0] + maximum1) / 2 - minimum1;
  const a = maximum1 - (minimum1 + minimum2) / 2;
  return b > 0 ? a / b : 0;
}
