import { CholeskyDecomposition, Matrix } from 'ml-matrix';
import { normalDraws, seededRandom, squaredDistanceQuantile, studentQuantile } from '../../numerics/index.js';
import type { PlateauDepartures } from './departures.js';
import { meanDepartures, type MeanDepartures } from './mean-departures.js';
import type { CircuitNormal } from '../learning/circuit-normal.js';

/** Share of normal plateaus over the limit. */
export const falseAlarmRate = 0.01;
/** A plateau is looked at by itself and together with this many on either side. */
export const neighbours = 12;
/** Draws of normal running by which the limit of the looks together is set. */
const draws = 1500;

/** How one set of departures is looked at: what the two statistics are divided by. */
interface Look {
  deviations: number[];
  /** Inverse covariance, row by row. */
  precision: number[];
  limit: number;
  /** Limit of each quantity's departure, in its standard deviations. */
  limits: number[];
}

/**
 * Limits of one look, each at the false alarm rate: of the squared Mahalanobis distance by F, of the largest departure by
 * Student's t for the number of quantities (Sidak), both with the degrees of freedom left to learn the noise.
 */
function lookOf({ covariance, degreesOfFreedom }: MeanDepartures): Look {
  const p = degreesOfFreedom.length;
  const harmonic = p / degreesOfFreedom.reduce((sum, value) => sum + 1 / value, 0);
  const single = 1 - (1 - falseAlarmRate) ** (1 / p);
  return {
    deviations: covariance.diag().map(Math.sqrt),
    precision: new CholeskyDecomposition(covariance).solve(Matrix.eye(p, p)).to1DArray(),
    limit: squaredDistanceQuantile(1 - falseAlarmRate, p, Math.max(2, harmonic)),
    limits: degreesOfFreedom.map((degrees) => studentQuantile(1 - single / 2, degrees)),
  };
}

/** The larger of the Mahalanobis distance and the largest departure, each over its limit. */
function measure(look: Look, difference: readonly number[]): number {
  const p = difference.length;
  let squared = 0;
  let largest = 0;
  for (let a = 0; a < p; a++) {
    for (let b = 0; b < p; b++) squared += difference[a] * look.precision[a * p + b] * difference[b];
    largest = Math.max(largest, Math.abs(difference[a]) / look.deviations[a] / look.limits[a]);
  }
  return Math.max(largest, Math.sqrt(Math.max(0, squared) / look.limit));
}

/** How far one set of departures is off, over its limit. */
export const distanceOverLimit = (mean: MeanDepartures): number => measure(lookOf(mean), mean.difference);

/**
 * What the largest of the looks exceeds on one normal plateau in a hundred. The looks go together, so their limits are
 * not simply shared out: normal running is drawn (a fixed seed, 1500 draws) at the operating points that were learned
 * from, with noise known no better than it was learned, one error of each relation and one reading of the instruments
 * for all plateaus of a draw.
 */
export function falseAlarmLimit(normal: CircuitNormal, learned: readonly PlateauDepartures[]): number {
  const usable = learned.filter(({ order }) => order.length === normal.order.length);
  const n = usable.length;
  if (n === 0) return 1;
  const random = normalDraws(seededRandom(n));
  const highest: number[] = [];
  const places = Math.min(n, 30);
  for (let place = 0; place < places; place++) {
    const i = Math.floor((place * n) / places);
    const from = Math.max(0, i - neighbours);
    const near = usable.slice(from, i + neighbours + 1);
    const alone = lookOf(meanDepartures(normal, [usable[i]])!);
    const together = lookOf(meanDepartures(normal, near)!);
    const draw = drawer(normal, near, random);
    for (let k = 0; k < draws / places; k++) {
      const differences = draw();
      const mean = differences[0].map(
        (_, a) => differences.reduce((sum, one) => sum + one[a], 0) / differences.length,
      );
      highest.push(Math.max(measure(alone, differences[i - from]), measure(together, mean)));
    }
  }
  highest.sort((a, b) => a - b);
  return highest[Math.floor((1 - falseAlarmRate) * highest.length)];
}

/** Draws differences from normal on some plateaus in which nothing is wrong, neighbours as alike as they were seen to be. */
function drawer(
  normal: CircuitNormal,
  near: readonly PlateauDepartures[],
  random: () => number,
): () => number[][] {
  const p = normal.order.length;
  const roots = near.map(({ scatter }) => lowerRoot(scatter));
  const instruments = near.map((one) => lowerRoot(one.instruments));
  const degrees = normal.order.map((quantity) => normal.relations[quantity]!.degreesOfFreedom);
  const normals = () => Array.from({ length: p }, () => random());
  const persist = normal.persistence;
  const fresh = persist.map((r) => Math.sqrt(1 - r * r));
  return () => {
    const scale = degrees.map((nu) => Math.sqrt(nu / chiSquare(nu, random)));
    const readings = normals();
    const relations = normals();
    let going = normals();
    return near.map(({ relation }, i) => {
      if (i > 0) going = normals().map((value, a) => persist[a] * going[a] + fresh[a] * value);
      const own = times(roots[i], going);
      const read = times(instruments[i], readings);
      return own.map((value, a) => (value + Math.sqrt(relation[a]) * relations[a]) * scale[a] + read[a]);
    });
  };
}

/** Chi-square by Wilson & Hilferty's cube (1931, Proc. Natl. Acad. Sci. 17:684), good to a per cent from 3 degrees on. */
function chiSquare(degrees: number, random: () => number): number {
  const part = 2 / (9 * degrees);
  return degrees * Math.max(0.05, 1 - part + Math.sqrt(part) * random()) ** 3;
}

function lowerRoot(matrix: Matrix): number[][] {
  const p = matrix.rows;
  const lifted = matrix.clone();
  // Instruments that two quantities share make the matrix nearly singular.
  for (let a = 0; a < p; a++) lifted.set(a, a, lifted.get(a, a) * (1 + 1e-9) + 1e-18);
  return new CholeskyDecomposition(lifted).lowerTriangularMatrix.to2DArray();
}

const times = (root: readonly number[][], vector: readonly number[]): number[] =>
  root.map((row, a) => {
    let sum = 0;
    for (let b = 0; b <= a; b++) sum += row[b] * vector[b];
    return sum;
  });
