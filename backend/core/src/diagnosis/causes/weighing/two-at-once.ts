import { CholeskyDecomposition, Matrix } from 'ml-matrix';
import type { MeanDepartures } from '../../../normal/departures/mean-departures.js';
import type { Cause } from '../../cause.js';
import type { Candidate } from './candidates.js';
import { evidenceOf, solver } from './evidence.js';

/** Two causes that add up, with the logarithm of likelihood times prior probability. */
export interface CausePair {
  first: Candidate;
  second: Candidate;
  logEvidence: number;
  severities: [number, number];
}

/**
 * Probability that a second cause is there beside a first, as a factor on the product of both priors: with some twenty
 * patterns it leaves about one case in five to all pairs together, as slight faults wait for one another (judgement, no
 * source).
 */
const besideFactor = 0.4;
/** A sensor that went off in the same days, by just what a fault's pattern leaves unexplained on its channel: that much less likely. */
const sensorBeside = 0.25;
/** Pairs that are worked out in full: those that leave least unexplained at a glance. */
const mostPairs = 12;
/** A pattern's effects are taken to be uncertain by this share of what is seen when pairs are looked at at a glance. */
const glanceError = 0.2;

/**
 * The pairs of causes that explain most. Effects of two faults add up as long as both are small. One severity is averaged
 * over as for a single cause, the other by Laplace's approximation about its best value.
 */
export function pairsOf(mean: MeanDepartures, candidates: readonly Candidate[]): CausePair[] {
  return promising(mean, candidates).map(([first, second]) => together(mean, first, second));
}

const isSensor = ({ pattern }: Candidate): boolean => pattern.cause === 'sensor-wrong';

/** Causes that exclude each other, and two sensors at once, are no pairs. */
function canBeTogether({ pattern: a }: Candidate, { pattern: b }: Candidate): boolean {
  if (a.cause === b.cause) return false;
  const charge = ['excess-refrigerant', 'missing-refrigerant'];
  if (charge.includes(a.cause) && charge.includes(b.cause)) return false;
  // How far a valve opens for the bubbles that a missing charge leaves is not known: what it opens beyond that tells nothing.
  return !(opens.includes(a.cause) && opens.includes(b.cause));
}

/** Causes that make a valve open further. */
const opens: readonly Cause[] = [
  'missing-refrigerant',
  'liquid-line-restricted',
  'valve-offset',
  'tandem-mismatch',
];

/** Pairs with the least left unexplained by non-negative least squares, with the pattern's errors alike for all. */
function promising(mean: MeanDepartures, candidates: readonly Candidate[]): [Candidate, Candidate][] {
  const covariance = mean.covariance.clone();
  mean.difference.forEach((value, a) =>
    covariance.set(a, a, covariance.get(a, a) + (glanceError * value) ** 2),
  );
  const solved = new CholeskyDecomposition(covariance).solve(
    new Matrix(mean.difference.map((value, k) => [value, ...candidates.map(({ moved }) => moved[k])])),
  );
  const product = (values: readonly number[], column: number) =>
    values.reduce((sum, value, k) => sum + value * solved.get(k, column), 0);
  const along = candidates.map(({ moved }) => product(moved, 0));
  const pairs: { pair: [Candidate, Candidate]; gain: number }[] = [];
  candidates.forEach((a, i) =>
    candidates.forEach((b, j) => {
      if (j <= i || !canBeTogether(a, b)) return;
      const [aa, bb, ab] = [product(a.moved, i + 1), product(b.moved, j + 1), product(a.moved, j + 1)];
      const determinant = aa * bb - ab * ab;
      if (!(determinant > 1e-6 * aa * bb)) return;
      const sizes = [
        (bb * along[i] - ab * along[j]) / determinant,
        (aa * along[j] - ab * along[i]) / determinant,
      ];
      if (![a, b].every(({ pattern }, k) => pattern.eitherWay || sizes[k] > 0)) return;
      const gain = sizes[0] * along[i] + sizes[1] * along[j];
      pairs.push({ pair: [a, b], gain: gain + 2 * Math.log(a.pattern.prior * b.pattern.prior) });
    }),
  );
  return pairs
    .sort((a, b) => b.gain - a.gain)
    .slice(0, mostPairs)
    .map(({ pair }) => pair);
}

function together(mean: MeanDepartures, a: Candidate, b: Candidate): CausePair {
  let severityOfB = 0;
  let evidence = evidenceOf(a, mean.difference, mean.covariance);
  for (let round = 0; round < 2; round++) {
    const rest = without(mean.difference, a, evidence.severity);
    severityOfB = evidenceOf(b, rest, widened(mean.covariance, a, evidence.severity)).severity;
    evidence = evidenceOf(
      a,
      without(mean.difference, b, severityOfB),
      widened(mean.covariance, b, severityOfB),
    );
  }
  const { median, spread } = b.pattern.severity;
  const z = Math.log(Math.abs(severityOfB) / median) / spread;
  const covariance = widened(widened(mean.covariance, a, evidence.severity), b, severityOfB);
  const { curvature } = solver(covariance, mean.difference, b.moved);
  // In z the likelihood has the curvature (severity times spread) squared, the prior has 1.
  const deviation = 1 / Math.sqrt(1 + curvature * (severityOfB * spread) ** 2);
  const ways = b.pattern.eitherWay ? Math.log(2) : 0;
  return {
    first: a,
    second: b,
    logEvidence:
      evidence.logEvidence -
      (z * z) / 2 +
      Math.log(deviation) -
      ways +
      Math.log(b.pattern.prior * besideFactor * ([a, b].some(isSensor) ? sensorBeside : 1)),
    severities: [evidence.severity, severityOfB],
  };
}

const without = (difference: readonly number[], { moved }: Candidate, severity: number): number[] =>
  difference.map((value, k) => value - severity * moved[k]);

const widened = (covariance: Matrix, { spread }: Candidate, severity: number): Matrix =>
  spread === null ? covariance : Matrix.add(covariance, Matrix.mul(spread, severity * severity));
