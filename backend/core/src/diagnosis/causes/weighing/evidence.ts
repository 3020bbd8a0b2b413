import { CholeskyDecomposition, Matrix } from 'ml-matrix';
import type { MeanDepartures } from '../../../normal/departures/mean-departures.js';
import { quantityFacts } from '../../../normal/quantities/quantities.js';
import { normalProbability } from '../../../numerics/index.js';
import type { Candidate } from './candidates.js';

/** Logarithm of likelihood times prior probability, and the severity that fits best; under 0 the other way. */
export interface Evidence {
  logEvidence: number;
  severity: number;
}

/**
 * What a likelihood counts for, as a power of it. Patterns and covariances are nearly right, not exactly: what they leave out
 * moves several quantities together, and a dozen departures are not a dozen independent witnesses. Taken at its word a
 * likelihood would be far too sure; with a power under 1 the answer is that of all data which could lie as near to those
 * seen as the model lies to the truth (the coarsened posterior of Miller & Dunson 2019, J. Am. Stat. Assoc. 114:1113, from
 * memory). How much it is, is judgement; whether what is said with 95 % is right as often, the score shows on units that it
 * was not chosen by.
 */
const counted = 0.6;

/** Cells over the logarithm of the severity, in its standard deviations, with the share of the normal density in each. */
const cells = Array.from({ length: 15 }, (_, k) => {
  const [from, to] = [-3 + 0.4 * k, -2.6 + 0.4 * k];
  return { from, to, share: normalProbability(to) - normalProbability(from) };
});

/** Scatter of what is none of the known causes, in usual scatters of each quantity, and its prior probability. */
const elseScales = [3, 8, 20, 50];
const elsePrior = 0.05;

/**
 * Evidence of a pattern for differences with that covariance: their likelihood with normal errors (of the comparison, and
 * of the pattern in proportion to its severity), averaged over the severities that it may have, times its prior probability.
 */
export function evidenceOf(
  { pattern, moved, spread }: Candidate,
  difference: readonly number[],
  covariance: Matrix,
): Evidence {
  const signs = pattern.eitherWay ? [1, -1] : [1];
  const terms: number[] = [];
  let best = -Infinity;
  let severity = pattern.severity.median;
  const exact = spread === null ? solver(covariance, difference, moved) : null;
  for (const { from, to, share } of cells) {
    const at = (z: number) => pattern.severity.median * Math.exp(z * pattern.severity.spread);
    const [low, high] = [at(from), at(to)];
    const solved =
      exact ?? solver(Matrix.add(covariance, Matrix.mul(spread!, low * high)), difference, moved);
    for (const sign of signs) {
      const cell = overCell(solved, sign, low, high);
      terms.push(cell.logMean + Math.log(share / signs.length));
      if (cell.highest > best) {
        best = cell.highest;
        severity = cell.severity;
      }
    }
  }
  return { logEvidence: logSum(terms) + Math.log(pattern.prior), severity };
}

interface Solved {
  squared: number;
  along: number;
  curvature: number;
  logDeterminant: number;
}

/** What a normal likelihood of `difference` about a multiple of `moved` needs, for one covariance, as far as it counts. */
export function solver(covariance: Matrix, difference: readonly number[], moved: readonly number[]): Solved {
  const root = new CholeskyDecomposition(covariance);
  const solved = root.solve(new Matrix(difference.map((value, k) => [value, moved[k]])));
  const product = (values: readonly number[], column: number) =>
    values.reduce((sum, value, k) => sum + value * solved.get(k, column), 0);
  return {
    squared: counted * product(difference, 0),
    along: counted * product(moved, 0),
    curvature: counted * product(moved, 1),
    logDeterminant: counted * logDeterminantOf(root),
  };
}

const logDeterminantOf = (root: CholeskyDecomposition): number =>
  root.lowerTriangularMatrix.diag().reduce((sum, value) => sum + 2 * Math.log(value), 0);

/**
 * Likelihood averaged over severities from `low` to `high`, all alike likely: with the covariance held it is normal in the
 * severity, so that the average is a difference of two values of the normal distribution, however narrow the peak.
 */
function overCell(
  { squared, along, curvature, logDeterminant }: Solved,
  sign: number,
  low: number,
  high: number,
): { logMean: number; highest: number; severity: number } {
  const peak = (sign * along) / curvature;
  const nearest = Math.min(high, Math.max(low, peak));
  const logAt = (size: number) =>
    -0.5 * (squared - 2 * size * sign * along + size * size * curvature + logDeterminant);
  const deviation = 1 / Math.sqrt(curvature);
  const inside = normalProbability((high - peak) / deviation) - normalProbability((low - peak) / deviation);
  // Far out on a tail the difference is lost in rounding: there the nearest end stands for the cell.
  const logMean =
    inside > 1e-12
      ? logAt(peak) + Math.log((Math.sqrt(2 * Math.PI) * deviation * inside) / (high - low))
      : logAt(nearest) - Math.log(1 + Math.abs(nearest - peak) / deviation);
  return { logMean, highest: logAt(nearest), severity: sign * nearest };
}

/** Evidence of what is none of the known causes: departures of any size in any quantity, at low and at high load alike. */
export function evidenceOfUnknownCause({ order, difference, covariance }: MeanDepartures): Evidence {
  const p = order.length;
  const terms = elseScales.map((scale) => {
    const wider = covariance.clone();
    for (let a = 0; a < difference.length; a++) {
      const wide = (scale * quantityFacts[order[a % p]].usual) ** 2;
      for (let b = a % p; b < difference.length; b += p)
        wider.set(a, b, wider.get(a, b) + (a === b ? 1 : likeLoads) * wide);
    }
    const root = new CholeskyDecomposition(wider);
    const solved = root.solve(Matrix.columnVector([...difference]));
    const squared = difference.reduce((sum, value, k) => sum + value * solved.get(k, 0), 0);
    return -0.5 * counted * (squared + logDeterminantOf(root)) - Math.log(elseScales.length);
  });
  return { logEvidence: logSum(terms) + Math.log(elsePrior), severity: 1 };
}

/** That the coolant is not what it was is as likely as all faults together: from season to season a tower's water differs by several kelvin. Judgement, no source. */
const otherCoolantPrior = 1;
/** Condensing that is off by less than this is no other coolant, K. Judgement, no source. */
const restless_K = 0.5;

/**
 * Evidence that nothing is wrong but the condenser is cooled warmer or colder than it was, where nothing tells that: what the coolant may have
 * moved is part of the covariance already (`unread-coolant.ts`).
 *
 * @param beyond_K by how much condensing is off: where it hardly is, the coolant is as it was
 */
export function evidenceOfOtherCoolant(
  { difference, covariance }: MeanDepartures,
  beyond_K: number,
): Evidence {
  const prior = -otherCoolantPrior * Math.expm1(-0.5 * (beyond_K / restless_K) ** 2);
  const { squared, logDeterminant } = solver(covariance, difference, difference);
  return { logEvidence: -0.5 * (squared + logDeterminant) + Math.log(prior), severity: 1 };
}

/** Correlation of an unknown departure at low load with that at high load. */
const likeLoads = 0.6;

export function logSum(terms: readonly number[]): number {
  const highest = Math.max(...terms);
  return highest + Math.log(terms.reduce((sum, term) => sum + Math.exp(term - highest), 0));
}
