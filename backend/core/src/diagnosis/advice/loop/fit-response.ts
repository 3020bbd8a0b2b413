import { CholeskyDecomposition, Matrix } from 'ml-matrix';
import { fitLinear, mean } from '../../../numerics/index.js';
import { respond, type EvenRecord, type Response } from './superheat-response.js';

export interface FittedResponse {
  best: Response;
  /** Pairs of responses two standard uncertainties either way, along directions that do not go together. */
  spread: [Response, Response][];
  /** Share of superheat's variance that the response explains. */
  explained: number;
}

/** gain, level, drift, lag, thermometer's lag, dead time: times and gain as logarithms. */
type Parameters = Float64Array;
const [lag, thermometer, deadTime] = [3, 4, 5];

const toResponse = (p: Parameters): Response => ({
  gain_K_pct: Math.exp(p[0]),
  level_K: p[1],
  drift_K: p[2],
  lag_s: Math.exp(p[lag]),
  thermometerLag_s: Math.exp(p[thermometer]),
  deadTime_s: Math.exp(p[deadTime]),
});

/**
 * What is known before: a thermometer strapped to the pipe or in a pocket lags by 8 to 28 s, the evaporator by about a sixth of the
 * period, give or take a factor of three. Common practice, no source; weak against the record of a swing.
 */
const known = (period_s: number) => [
  { index: lag, mean: Math.log(period_s / 6), precision: 1 / 1.1 ** 2 },
  { index: thermometer, mean: Math.log(15), precision: 1 / 0.3 ** 2 },
];

const iterations = 15;
const steps = [0.02, 0.02, 0.02, 0.05, 0.05, 0.02];

/**
 * Fits the response of superheat to the opening by output error: damped Gauss-Newton from several starts, residuals counted
 * as independent as neighbouring ones are. In closed loop this is sound where the swing is large against what disturbs it,
 * as it is while a loop hunts (Ljung 1999, System Identification, section 13.4). Null where it does not converge.
 */
export function fitResponse(record: EvenRecord): FittedResponse | null {
  const { period_s } = record;
  const starts = [0.15, 0.28].flatMap((dead) =>
    [0.06, 0.3].map((lagging) => [dead * period_s, lagging * period_s]),
  );
  const level = mean(record.superheat_K);
  const gain = spreadOf(record.superheat_K) / Math.max(1e-6, spreadOf(record.opening_pct));
  const fits = starts.flatMap(([dead_s, lag_s]) => {
    const start = Float64Array.of(
      Math.log(gain * Math.hypot(1, (2 * Math.PI * lag_s) / period_s)),
      level,
      0,
      Math.log(lag_s),
      Math.log(15),
      Math.log(dead_s),
    );
    const fit = descend(record, start);
    return fit === null ? [] : [fit];
  });
  if (fits.length === 0) return null;
  const { at, squares, covariance } = fits.reduce((one, other) =>
    other.squares < one.squares ? other : one,
  );
  const n = record.superheat_K.length - skipped(record);
  return {
    best: toResponse(at),
    spread: spreadAlong(at, covariance),
    explained: 1 - squares / (n * spreadOf(record.superheat_K.subarray(skipped(record))) ** 2),
  };
}

interface Descended {
  at: Parameters;
  squares: number;
  covariance: Float64Array;
}

function descend(record: EvenRecord, start: Parameters): Descended | null {
  const model = modelOf(record);
  const priors = known(record.period_s);
  let at = start;
  let rest = model.rest(at);
  let covariance: Float64Array | null = null;
  for (let k = 0; k < iterations; k++) {
    const variance = varianceOf(rest);
    const columns = steps.map((step, j) => {
      const other = at.slice();
      other[j] += step;
      return model.rest(other).map((value, i) => (rest[i] - value) / step);
    });
    const fit = fitLinear(
      columns,
      rest,
      new Float64Array(rest.length).fill(1 / variance),
      priors.map((prior) => ({ ...prior, mean: prior.mean - at[prior.index] })),
    );
    if (fit === null) return null;
    covariance = fit.inverse;
    const cost = (where: Parameters, left: Float64Array) =>
      sumOfSquares(left) / variance +
      priors.reduce((sum, { index, mean: m, precision }) => sum + precision * (where[index] - m) ** 2, 0);
    const before = cost(at, rest);
    let scale = 1;
    let better: [Parameters, Float64Array] | null = null;
    for (; scale > 0.02 && better === null; scale /= 2) {
      const next = bounded(
        at.map((value, j) => value + scale * fit.coefficients[j]),
        record,
      );
      const left = model.rest(next);
      if (cost(next, left) < before) better = [next, left];
    }
    if (better === null) break;
    const gained = before - cost(better[0], better[1]);
    [at, rest] = better;
    if (gained < 0.01) break;
  }
  return covariance === null ? null : { at, squares: sumOfSquares(rest), covariance };
}

/** The first period is left out: what was before the record is not known. */
const skipped = ({ period_s, step_s }: EvenRecord): number => Math.round(period_s / step_s);

function modelOf(record: EvenRecord) {
  const { superheat_K, opening_pct, step_s, period_s } = record;
  const parts = Math.max(1, Math.round((40 * step_s) / period_s));
  const middle = mean(opening_pct);
  const from = skipped(record);
  return {
    rest(at: Parameters): Float64Array {
      const shown = respond(toResponse(at), record, middle, parts);
      return superheat_K.subarray(from).map((value, i) => value - shown[from + i]);
    },
  };
}

/** Lags and dead time between a hundredth of the period and some periods. */
function bounded(at: Parameters, { period_s }: EvenRecord): Parameters {
  const [low, high] = [Math.log(period_s / 100), Math.log(4 * period_s)];
  for (const j of [lag, thermometer]) at[j] = Math.min(high, Math.max(low, at[j]));
  at[deadTime] = Math.min(Math.log(0.6 * period_s), Math.max(low, at[deadTime]));
  return at;
}

/** Variance of residuals, enlarged for how far neighbours go together. */
function varianceOf(rest: Float64Array): number {
  let products = 0;
  for (let i = 1; i < rest.length; i++) products += rest[i] * rest[i - 1];
  const squares = sumOfSquares(rest);
  const r = squares === 0 ? 0 : Math.min(0.95, Math.max(0, products / squares));
  return Math.max(1e-12, ((squares / rest.length) * (1 + r)) / (1 - r));
}

const sumOfSquares = (values: Float64Array): number => values.reduce((sum, value) => sum + value * value, 0);

function spreadOf(values: Float64Array): number {
  const middle = mean(values);
  return Math.sqrt(values.reduce((sum, value) => sum + (value - middle) ** 2, 0) / values.length);
}

/** Two standard uncertainties along each column of the covariance's Cholesky factor. */
function spreadAlong(at: Parameters, covariance: Float64Array): [Response, Response][] {
  const p = at.length;
  const square = Matrix.from1DArray(p, p, covariance);
  // An inverse is symmetric but for rounding.
  const symmetric = Matrix.add(square, square.transpose()).mul(0.5);
  const factor = new CholeskyDecomposition(symmetric).lowerTriangularMatrix;
  return Array.from({ length: p }, (_, j) => {
    const along = (sign: number) => toResponse(at.map((value, i) => value + sign * 2 * factor.get(i, j)));
    return [along(1), along(-1)];
  });
}
