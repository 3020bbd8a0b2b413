import { CholeskyDecomposition, Matrix } from 'ml-matrix';
import type { PlateauDepartures } from '../../../normal/departures/departures.js';
import { atLoads, loadEdges, type Signatures } from '../../../normal/departures/signatures.js';
import { falseAlarmRate } from '../../../normal/departures/looks.js';
import type { CircuitNormal } from '../../../normal/learning/circuit-normal.js';
import type { Machine } from '../../../normal/quantities/machine.js';
import type { Cause } from '../../cause.js';
import { explainedBy, type ToExplain } from './candidates.js';
import { falseAlarmShares, type LookedFor } from './false-alarm-shares.js';

/** A pattern's own errors count as of the severity at which it is this many standard deviations off. */
const justSeen = 3;
/** Weights are kept to so many digits: what they are exactly changes nothing. */
const digits = 4;
/** At each load so many plateaus of normal running are needed. */
const leastAtLoad = 2;

/**
 * What the physical faults are looked for by: of each pattern the linear form w = (C + s^2 D)^-1 m, with m the pattern, C
 * the covariance of the mean differences of normal running, D the pattern's own uncertainty and s the severity at which
 * it is just seen. Of all linear forms this has the highest mean over standard deviation (Fisher's discriminant), the
 * pattern's uncertainty counted as scatter: what the pattern does not know well counts little.
 */
export function signaturesOf(
  machine: Machine,
  normal: CircuitNormal,
  learned: readonly PlateauDepartures[],
): Signatures | null {
  const all = learned.filter(({ order }) => order.length === normal.order.length);
  const together = explainedBy(machine, normal, [all]);
  if (together === null) return null;
  const edges = loadEdges(normal.point, all);
  const groups = edges && atLoads(normal.point, edges, all, leastAtLoad);
  const byLoad = groups && explainedBy(machine, normal, groups);
  const ofAll = formsOf(together);
  const ofLoads = byLoad ? formsOf(byLoad) : [];
  return {
    edges: edges ?? [0, 0],
    together: ofAll.map(({ form }) => form),
    byLoad: ofLoads.map(({ form }) => form),
    shares: { together: sharesOf(ofAll), byLoad: sharesOf(ofLoads) },
  };
}

interface Form {
  form: number[];
  lookedFor: LookedFor;
}

const sharesOf = (forms: readonly Form[]): number[] =>
  falseAlarmShares(
    forms.map(({ lookedFor }) => lookedFor),
    falseAlarmRate,
  ).map((share) => Number(share.toPrecision(digits)));

/** A wrong sensor is looked for by the distance; circuits that disturb each other hunt, or show in both. */
const notLookedFor: readonly Cause[] = ['sensor-wrong', 'circuits-disturb-each-other'];

const formsOf = ({ mean, candidates }: ToExplain): Form[] =>
  candidates
    .filter(({ pattern }) => !notLookedFor.includes(pattern.cause) && !pattern.eitherWay)
    .map(({ pattern: { severity: usual, prior }, moved, spread }) => {
      const vector = Matrix.columnVector(moved);
      const solve = (covariance: Matrix) => new CholeskyDecomposition(covariance).solve(vector).to1DArray();
      const plain = solve(mean.covariance);
      const squared = plain.reduce((sum, weight, k) => sum + weight * moved[k], 0);
      const severity = justSeen / Math.sqrt(squared);
      const weights =
        spread === null ? plain : solve(Matrix.add(mean.covariance, Matrix.mul(spread, severity ** 2)));
      const largest = Math.max(...weights.map(Math.abs));
      const form = weights.map((weight) => Number((weight / largest).toPrecision(digits)));
      return {
        form,
        lookedFor: { severity: usual, prior, perUnit: deviationsOf(form, moved, mean.covariance) },
      };
    });

/** By how many of its standard deviations a form is moved. */
function deviationsOf(form: readonly number[], moved: readonly number[], covariance: Matrix): number {
  const column = Matrix.columnVector([...form]);
  const variance = column.transpose().mmul(covariance).mmul(column).get(0, 0);
  return form.reduce((sum, weight, k) => sum + weight * moved[k], 0) / Math.sqrt(variance);
}
