import { fitLinear, standardError } from './linear-fit.js';
import { median, spreadAround } from './robust.js';
import { referenceTemperature_K } from './weighted-age.js';
import type { TemperatureLaw } from './types.js';

interface Prior {
  mean: number;
  spread: number;
}

/**
 * Before a module has shown its own: C rises and ESR falls a little with temperature. COMMON PRACTICE, no source;
 * the spreads are wide enough to hold ordinary organic-electrolyte cells between -20 and 60 C.
 */
export const capacitancePrior: Prior = { mean: 0.001, spread: 0.001 };
export const esrPrior: Prior = { mean: -0.008, spread: 0.006 };

/** Change per K of ln(value), with what is left once law, ageing and steps are taken out. */
export interface LawFit {
  perK: number;
  uncertainty: number;
  residualSpread: number;
  /** ln(value) of each test at a temperature, along the fitted course of ageing rather than as measured. */
  smooth(temperature_K: number): Float64Array;
}

/**
 * First look at the temperature law, from differences between one test and the next, which neither ageing nor a
 * single step disturbs. Huber weights (Huber 1964, Ann. Math. Stat. 35:73) hold outliers down.
 */
export function lawFromDifferences(
  ln: ArrayLike<number>,
  temperature_K: ArrayLike<number>,
  prior: Prior,
): number {
  const dy: number[] = [];
  const dT: number[] = [];
  for (let i = 1; i < ln.length; i++) {
    dy.push(ln[i]! - ln[i - 1]!);
    dT.push(temperature_K[i]! - temperature_K[i - 1]!);
  }
  if (dy.length < 5) return prior.mean;
  return huber([dT], dy, 0, prior)?.coefficients[0] ?? prior.mean;
}

/**
 * ln(value) = polynomial of age + k (T - 298.15 K) + a step at each sudden change, by Huber-weighted least squares,
 * with the prior on k as one more observation. The course of ageing is free to bend (up to the fourth power where
 * there are tests enough), so that ageing is not taken for temperature nor a year's warming and cooling for ageing.
 */
export function fitLaw(
  ln: ArrayLike<number>,
  temperature_K: ArrayLike<number>,
  age_s: ArrayLike<number>,
  steps: readonly number[],
  prior: Prior,
): LawFit {
  const n = ln.length;
  const last = age_s[n - 1]! - age_s[0]!;
  const scale = last > 0 ? 1 / last : 0;
  const age = Float64Array.from(age_s, (value) => 2 * (value - age_s[0]!) * scale - 1);
  const dT = Float64Array.from(temperature_K, (value) => value - referenceTemperature_K);
  const columns: ArrayLike<number>[] = [dT, new Float64Array(n).fill(1)];
  const degree = scale > 0 ? (n >= 40 ? 4 : n >= 25 ? 3 : n >= 12 ? 2 : 0) : 0;
  for (let power = 1; power <= degree; power++) columns.push(age.map((value) => value ** power));
  for (const step of steps) columns.push(Float64Array.from({ length: n }, (_, i) => (i >= step ? 1 : 0)));

  const fit = n >= columns.length + 3 ? huber(columns, ln, 0, prior) : null;
  if (!fit) {
    const levels = Float64Array.from(ln, (value, i) => value - prior.mean * dT[i]!);
    const level = median(levels);
    return {
      perK: prior.mean,
      uncertainty: prior.spread,
      residualSpread: n > 2 ? spreadAround(levels, level) : NaN,
      smooth: (at_K) => new Float64Array(n).fill(level + prior.mean * (at_K - referenceTemperature_K)),
    };
  }
  const { coefficients } = fit;
  return {
    perK: coefficients[0]!,
    uncertainty: Math.min(prior.spread, standardError(fit, 0)),
    residualSpread: Math.sqrt(fit.residualVariance),
    smooth: (at_K) => {
      const out = new Float64Array(n);
      for (let i = 0; i < n; i++) {
        let sum = coefficients[0]! * (at_K - referenceTemperature_K);
        for (let j = 1; j < columns.length; j++) sum += coefficients[j]! * columns[j]![i]!;
        out[i] = sum;
      }
      return out;
    },
  };
}

/** Enough of a temperature span, and a law much better known than before, makes it the module's own. */
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

function huber(columns: readonly ArrayLike<number>[], y: ArrayLike<number>, index: number, prior: Prior) {
  const n = y.length;
  const weights = new Float64Array(n).fill(1);
  let spread = spreadAround(y, median(y)) || 1e-6;
  let fit = null;
  const residual = new Float64Array(n);
  for (let round = 0; round < 4; round++) {
    const precision = (spread * spread) / (prior.spread * prior.spread);
    fit = fitLinear(columns, y, weights, [{ index, mean: prior.mean, precision }]);
    if (!fit) return null;
    for (let i = 0; i < n; i++) {
      let value = y[i]!;
      for (let j = 0; j < columns.length; j++) value -= fit.coefficients[j]! * columns[j]![i]!;
      residual[i] = value;
    }
    spread = Math.max(1e-6, spreadAround(residual, 0));
    for (let i = 0; i < n; i++)
      weights[i] = Math.min(1, (1.345 * spread) / Math.max(1e-12, Math.abs(residual[i]!)));
  }
  return fit;
}
