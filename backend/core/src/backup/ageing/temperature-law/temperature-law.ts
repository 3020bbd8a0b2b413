import {
  filled,
  fitLinear,
  median,
  medianInPlace,
  residuals,
  scaledMad,
  standardError,
} from '../../../numerics/index.js';
import { referenceTemperature_K } from './weighted-age.js';

export interface TemperatureLaw {
  /** ln C rises by this per K. */
  capacitancePerK: number;
  capacitancePerKUncertainty: number;
  /** ln ESR changes by this per K (negative: falls with temperature). */
  esrPerK: number;
  esrPerKUncertainty: number;
  from: 'learned' | 'prior';
  span_K: number;
}

export interface Prior {
  mean: number;
  spread: number;
}

/**
 * Before a module has shown its own: C rises and ESR falls a little with temperature. COMMON PRACTICE, no source;
 * the spreads are wide enough to hold ordinary organic-electrolyte cells between -20 and 60 C.
 */
export const capacitancePrior: Prior = { mean: 0.001, spread: 0.001 };
export const esrPrior: Prior = { mean: -0.008, spread: 0.006 };

/** Change per K of ln(value), with the scatter that remains after law, ageing and steps. */
export interface LawFit {
  perK: number;
  uncertainty: number;
  residualSpread: number;
  /** ln(value) of each test at a temperature, along the fitted ageing curve rather than as measured. */
  smooth(temperature_K: number): Float64Array;
}

/**
 * First estimate of the temperature law, from differences between one test and the next, which neither ageing nor a
 * single step disturbs. Huber weights (Huber 1964, Ann. Math. Stat. 35:73) limit the influence of outliers.
 */
export function lawFromDifferences(
  ln: ArrayLike<number>,
  temperature_K: ArrayLike<number>,
  prior: Prior,
): number {
  const n = Math.max(0, ln.length - 1);
  const dy = filled(n, (i) => ln[i + 1]! - ln[i]!);
  const dT = filled(n, (i) => temperature_K[i + 1]! - temperature_K[i]!);
  if (dy.length < 5) return prior.mean;
  return huber([dT], dy, 0, prior, scaledMad(dy, 0), 2)?.coefficients[0] ?? prior.mean;
}

/**
 * ln(value) = polynomial of age + k (T - 298.15 K) + a step at each sudden change, by Huber-weighted least squares,
 * with the prior on k as one more observation. The ageing curve is free to bend (up to the fourth power where
 * there are tests enough), so that ageing is not taken for temperature nor a year's warming and cooling for ageing.
 */
export function fitLaw(
  ln: Float64Array,
  temperature_K: ArrayLike<number>,
  age_s: ArrayLike<number>,
  steps: readonly number[],
  prior: Prior,
  scatter: number,
): LawFit {
  const n = ln.length;
  const last = age_s[n - 1]! - age_s[0]!;
  const scale = last > 0 ? 1 / last : 0;
  const age = filled(n, (i) => 2 * (age_s[i]! - age_s[0]!) * scale - 1);
  const dT = filled(n, (i) => temperature_K[i]! - referenceTemperature_K);
  const columns: Float64Array[] = [dT, new Float64Array(n).fill(1)];
  const degree = scale > 0 ? (n >= 40 ? 4 : n >= 25 ? 3 : n >= 12 ? 2 : 0) : 0;
  for (let power = 1; power <= degree; power++) {
    const previous = columns[columns.length - 1]!;
    columns.push(filled(n, (i) => previous[i]! * age[i]!));
  }
  for (const step of steps) columns.push(filled(n, (i) => (i >= step ? 1 : 0)));

  const fit = n >= columns.length + 3 ? huber(columns, ln, 0, prior, scatter) : null;
  if (!fit) {
    const levels = filled(n, (i) => ln[i]! - prior.mean * dT[i]!);
    const level = median(levels);
    return {
      perK: prior.mean,
      uncertainty: prior.spread,
      residualSpread: n > 2 ? scaledMad(levels, level) : NaN,
      smooth: (at_K) => new Float64Array(n).fill(level + prior.mean * (at_K - referenceTemperature_K)),
    };
  }
  const { coefficients } = fit;
  return {
    perK: coefficients[0]!,
    uncertainty: Math.min(prior.spread, standardError(fit, 0)),
    residualSpread: Math.sqrt(fit.residualVariance),
    smooth: (at_K) => {
      const out = new Float64Array(n).fill(coefficients[0]! * (at_K - referenceTemperature_K));
      for (let j = 1; j < columns.length; j++) {
        const column = columns[j]!;
        const coefficient = coefficients[j]!;
        for (let i = 0; i < n; i++) out[i]! += coefficient * column[i]!;
      }
      return out;
    },
  };
}

/** A law counts as learned over a span of 8 K or more and with less than half of the prior's uncertainty. */
export function describeLaw(capacitance: LawFit, esr: LawFit | null, span_K: number): TemperatureLaw {
  return {
    capacitancePerK: capacitance.perK,
    capacitancePerKUncertainty: capacitance.uncertainty,
    esrPerK: esr?.perK ?? esrPrior.mean,
    esrPerKUncertainty: esr?.uncertainty ?? esrPrior.spread,
    from: span_K >= 8 && capacitance.uncertainty < 0.5 * capacitancePrior.spread ? 'learned' : 'prior',
    span_K,
  };
}

function huber(
  columns: readonly Float64Array[],
  y: Float64Array,
  index: number,
  prior: Prior,
  scatter: number,
  rounds = 3,
) {
  const n = y.length;
  const weights = new Float64Array(n).fill(1);
  const deviation = new Float64Array(n);
  let spread = Math.max(1e-6, scatter);
  let fit = null;
  for (let round = 0; round < rounds; round++) {
    const precision = (spread * spread) / (prior.spread * prior.spread);
    fit = fitLinear(columns, y, weights, [{ index, mean: prior.mean, precision }]);
    if (!fit) return null;
    // The residuals of the last fit are not used to weight another.
    if (round === rounds - 1) break;
    const size = residuals(columns, fit.coefficients, y);
    for (let i = 0; i < n; i++) deviation[i] = size[i] = Math.abs(size[i]!);
    spread = Math.max(1e-6, 1.4826 * medianInPlace(deviation));
    for (let i = 0; i < n; i++) weights[i] = size[i]! <= 1.345 * spread ? 1 : (1.345 * spread) / size[i]!;
  }
  return fit;
}
