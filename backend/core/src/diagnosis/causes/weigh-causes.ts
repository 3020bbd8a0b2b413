import { CholeskyDecomposition, Matrix } from 'ml-matrix';
import type { Channel } from '../../normal/plateaus/channels.js';
import { channels } from '../../normal/plateaus/channels.js';
import { normalProbability } from '../../numerics/index.js';
import {
  differencesAt,
  meanDepartures,
  type MeanDepartures,
  type PlateauDepartures,
} from '../../normal/departures/departures.js';
import type { CircuitNormal } from '../../normal/learning/circuit-normal.js';
import type { Machine } from '../../normal/quantities/machine.js';
import { quantityFacts, type ChannelValues } from '../../normal/quantities/quantities.js';
import type { Cause } from '../cause.js';
import type { CausePattern } from './cause-pattern.js';
import { physicalPatterns } from './physical-patterns.js';
import { sensorPatterns } from './sensor-patterns.js';

/** A cause with its posterior probability. */
export interface WeighedCause {
  cause: Cause;
  weight: number;
  /** The likeliest of the sensors, for `sensor-wrong`. */
  channel?: Channel;
  /** Severity at which the cause fits best, in the unit of its pattern. */
  severity: number;
}

/** Cells over the logarithm of the severity, in its standard deviations, with the share of the normal density in each. */
const cells = Array.from({ length: 15 }, (_, k) => {
  const [from, to] = [-3 + 0.4 * k, -2.6 + 0.4 * k];
  return { from, to, share: normalProbability(to) - normalProbability(from) };
});

/** Scatter of what is none of the known causes, in usual scatters of each quantity, and its prior probability. */
const elseScales = [3, 8, 20, 50];
const elsePrior = 0.05;

/**
 * Weighs which cause explains the departures of some plateaus: for each the likelihood of their mean given the pattern of
 * the cause, with normal errors (of the comparison, and of the pattern in proportion to its severity), averaged over the
 * severities that it may have, times its prior probability. What fits none of them well is left to `something-else`,
 * which expects departures of any size in any quantity. Likeliest first; the weights add up to 1; empty where nothing
 * could be compared.
 */
export function weighCausesOfDepartures(
  machine: Machine,
  normal: CircuitNormal,
  several: readonly PlateauDepartures[],
): WeighedCause[] {
  const mean = meanDepartures(normal, several);
  if (mean === null) return [];
  const at = meanChannels(several);
  const base = differencesAt(machine, normal, at, mean.order);
  const effect = (moves: Partial<Record<Channel, number>>) =>
    effectOf(machine, normal, at, mean, base, moves);
  const weighed = [...physicalPatterns(machine, at), ...sensorPatterns(at)].flatMap((pattern) => {
    const moved = effect(pattern.moves);
    if (moved.every((value) => value === 0)) return [];
    const doubts = Object.entries(pattern.doubts).map(([channel, size]) => effect({ [channel]: size }));
    return [{ pattern, ...evidenceOf(pattern, moved, doubts, mean) }];
  });
  return shares([...weighed.map(fromPattern), { cause: 'something-else', ...elseEvidence(mean) }]);
}

type Evidence = { logEvidence: number; severity: number };
type Candidate = { cause: Cause; channel?: Channel | undefined } & Evidence;

const fromPattern = ({
  pattern,
  logEvidence,
  severity,
}: { pattern: CausePattern } & Evidence): Candidate => ({
  cause: pattern.cause,
  channel: pattern.channel,
  logEvidence,
  severity,
});

/** Mean channels over the plateaus, of the finite values. */
function meanChannels(several: readonly PlateauDepartures[]): ChannelValues {
  return Object.fromEntries(
    channels.map((channel) => {
      const values = several.map(({ at }) => at[channel]).filter(Number.isFinite);
      return [
        channel,
        values.length === 0 ? NaN : values.reduce((sum, value) => sum + value, 0) / values.length,
      ];
    }),
  ) as ChannelValues;
}

/** What moved channels do to the differences from normal, through quantities and operating point alike. */
function effectOf(
  machine: Machine,
  normal: CircuitNormal,
  at: ChannelValues,
  mean: MeanDepartures,
  base: readonly number[],
  moves: Partial<Record<Channel, number>>,
): number[] {
  const moved = { ...at };
  for (const [channel, by] of Object.entries(moves) as [Channel, number][]) {
    if (Number.isFinite(by) && Number.isFinite(at[channel])) moved[channel] += by;
  }
  return differencesAt(machine, normal, moved, mean.order).map((value, k) => {
    const change = value - base[k];
    return Number.isFinite(change) ? change : 0;
  });
}

function evidenceOf(
  pattern: CausePattern,
  moved: readonly number[],
  doubts: readonly (readonly number[])[],
  mean: MeanDepartures,
): Evidence {
  const p = moved.length;
  const spread = Matrix.zeros(p, p);
  for (const doubt of doubts)
    for (let a = 0; a < p; a++)
      for (let b = 0; b < p; b++) spread.set(a, b, spread.get(a, b) + doubt[a] * doubt[b]);
  const signs = pattern.eitherWay ? [1, -1] : [1];
  const terms: number[] = [];
  let best = -Infinity;
  let severity = pattern.severity.median;
  for (const sign of signs)
    for (const { from, to, share } of cells) {
      const at = (z: number) => pattern.severity.median * Math.exp(z * pattern.severity.spread);
      const [low, high] = [at(from), at(to)];
      const middle = Math.sqrt(low * high);
      const covariance = Matrix.add(mean.covariance, Matrix.mul(spread, middle * middle));
      const cell = overCell(mean.difference, moved, covariance, sign, low, high);
      terms.push(cell.logMean + Math.log(share / signs.length));
      if (cell.highest > best) {
        best = cell.highest;
        severity = cell.severity;
      }
    }
  return { logEvidence: logSum(terms) + Math.log(pattern.prior), severity };
}

/**
 * Likelihood averaged over severities from `low` to `high`, all alike likely: with the covariance held it is normal in the
 * severity, so that the average is a difference of two values of the normal distribution, however narrow the peak.
 */
function overCell(
  difference: readonly number[],
  moved: readonly number[],
  covariance: Matrix,
  sign: number,
  low: number,
  high: number,
): { logMean: number; highest: number; severity: number } {
  const root = new CholeskyDecomposition(covariance);
  const solved = root.solve(new Matrix(difference.map((value, k) => [value, sign * moved[k]])));
  const product = (values: readonly number[], column: number, factor = 1) =>
    values.reduce((sum, value, k) => sum + factor * value * solved.get(k, column), 0);
  const squared = product(difference, 0);
  const along = product(moved, 0, sign);
  const curvature = product(moved, 1, sign);
  const logDeterminant = root.lowerTriangularMatrix
    .diag()
    .reduce((sum, value) => sum + 2 * Math.log(value), 0);
  const peak = along / curvature;
  const nearest = Math.min(high, Math.max(low, peak));
  const logAt = (size: number) =>
    -0.5 * (squared - 2 * size * along + size * size * curvature + logDeterminant);
  const deviation = 1 / Math.sqrt(curvature);
  const inside = normalProbability((high - peak) / deviation) - normalProbability((low - peak) / deviation);
  // Far out on a tail the difference is lost in rounding: there the nearest end stands for the cell.
  const logMean =
    inside > 1e-12
      ? logAt(peak) + Math.log((Math.sqrt(2 * Math.PI) * deviation * inside) / (high - low))
      : logAt(nearest) - Math.log(1 + Math.abs(nearest - peak) / deviation);
  return { logMean, highest: logAt(nearest), severity: sign * nearest };
}

function elseEvidence(mean: MeanDepartures): Evidence {
  const terms = elseScales.map((scale) => {
    const covariance = mean.covariance.clone();
    mean.order.forEach((quantity, a) => {
      const wide = scale * quantityFacts[quantity].usual;
      covariance.set(a, a, covariance.get(a, a) + wide * wide);
    });
    return logNormal(mean.difference, covariance) - Math.log(elseScales.length);
  });
  return { logEvidence: logSum(terms) + Math.log(elsePrior), severity: 1 };
}

function logNormal(difference: readonly number[], covariance: Matrix): number {
  const root = new CholeskyDecomposition(covariance);
  const solved = root.solve(Matrix.columnVector([...difference]));
  const squared = difference.reduce((sum, value, k) => sum + value * solved.get(k, 0), 0);
  const logDeterminant = root.lowerTriangularMatrix
    .diag()
    .reduce((sum, value) => sum + 2 * Math.log(value), 0);
  return -0.5 * (squared + logDeterminant);
}

function logSum(terms: readonly number[]): number {
  const highest = Math.max(...terms);
  return highest + Math.log(terms.reduce((sum, term) => sum + Math.exp(term - highest), 0));
}

/** Weights that add up to 1, one per cause: the sensors together, with the likeliest of them named. */
function shares(candidates: readonly Candidate[]): WeighedCause[] {
  const total = logSum(candidates.map(({ logEvidence }) => logEvidence));
  const byCause = new Map<Cause, WeighedCause & { highest: number }>();
  for (const { cause, channel, logEvidence, severity } of candidates) {
    const weight = Math.exp(logEvidence - total);
    const before = byCause.get(cause);
    if (before && before.highest >= weight) before.weight += weight;
    else
      byCause.set(cause, {
        cause,
        weight: weight + (before?.weight ?? 0),
        severity,
        highest: weight,
        ...(channel === undefined ? {} : { channel }),
      });
  }
  return [...byCause.values()].map(({ highest: _, ...cause }) => cause).sort((a, b) => b.weight - a.weight);
}
