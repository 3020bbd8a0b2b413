import { CholeskyDecomposition, Matrix } from 'ml-matrix';
import { innerProduct, mean, normalDraws, seededRandom } from '../../numerics/index.js';
import type { PlateauDepartures } from '../departures/departures.js';
import { falseAlarmRate, lookOf, measure, nearByLoad, neighbours } from '../departures/looks.js';
import { meanDepartures, meanDeparturesOfGroups } from '../departures/mean-departures.js';
import type { CircuitNormal } from './circuit-normal.js';
import { meanBasis } from './learned-relation.js';

/** Draws of normal running by which the limit of the looks together is set. */
const draws = 1500;

/**
 * What the largest of the looks exceeds on one normal plateau in a hundred. The looks go together, so their limits are
 * not simply shared out: normal running is drawn (a fixed seed, 1500 draws) at the operating points that were learned
 * from, with noise known no better than it was learned, one error of each relation, one reading of the
 * instruments and one state of the machine for all plateaus of a draw.
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
    const alone = lookOf(normal, meanDepartures(normal, [usable[i]])!);
    const groups = nearByLoad(normal, near);
    const together = lookOf(normal, meanDepartures(normal, near)!, groups === null);
    const byLoad = groups && lookOf(normal, meanDeparturesOfGroups(normal, groups)!);
    const own = groups?.map((group) => group.map((one) => near.indexOf(one))) ?? [];
    const draw = drawer(normal, near, [[i - from], near.map((_, k) => k), ...own], random);
    for (let k = 0; k < draws / places; k++) {
      const [itself, all, ...atLoads] = draw();
      highest.push(
        Math.max(
          measure(alone, itself),
          measure(together, all),
          byLoad ? measure(byLoad, atLoads.flat()) : 0,
        ),
      );
    }
  }
  highest.sort((a, b) => a - b);
  return highest[Math.floor((1 - falseAlarmRate) * highest.length)];
}

/**
 * Draws mean differences from normal over groups of some plateaus in which nothing is wrong, neighbours as alike as they
 * were seen to be. Each draw is overwritten by the next. In plain loops over rows of numbers, and what is linear in a
 * plateau (the relations' errors, what differs from day to day) by its mean over the group: a circuit takes 1500 draws of
 * 25 plateaus.
 */
function drawer(
  normal: CircuitNormal,
  near: readonly PlateauDepartures[],
  groups: readonly (readonly number[])[],
  random: () => number,
): () => number[][] {
  const p = normal.order.length;
  const roots = near.map(({ scatter }) => rootOf(scatter));
  const relationsOf = normal.order.map((quantity) => normal.relations[quantity]!);
  const coefficients = relationsOf.map(({ inverse }) => rootOf(inverse));
  const rows = groups.map((group) => meanBasis(group.map((i) => near[i].point)));
  const sources = near[0].common.flatMap((_, k) =>
    near.some(({ common }) => common[k].some((value) => value !== 0)) ? [k] : [],
  );
  // By group and quantity, what each source moves its mean by.
  const effects = groups.map((group) =>
    normal.order.map((_, a) => sources.map((of) => mean(group.map((i) => near[i].common[of][a])))),
  );
  const groupsOf = near.map((_, i) => groups.flatMap((group, g) => (group.includes(i) ? [g] : [])));
  const persist = normal.persistence;
  const fresh = persist.map((r) => Math.sqrt(1 - r * r));
  const scale = new Array<number>(p).fill(0);
  const today = new Array<number>(sources.length).fill(0);
  const learned = coefficients.map((root) => new Array<number>(root.length).fill(0));
  const errors = coefficients.map((root) => new Array<number>(root.length).fill(0));
  const going = new Array<number>(p).fill(0);
  const own = new Array<number>(p).fill(0);
  const means = groups.map(() => new Array<number>(p).fill(0));
  return () => {
    for (let a = 0; a < p; a++) {
      const nu = relationsOf[a].degreesOfFreedom;
      scale[a] = Math.sqrt(nu / chiSquare(nu, random));
    }
    for (let k = 0; k < today.length; k++) today[k] = random();
    for (let a = 0; a < p; a++) {
      const { noise } = relationsOf[a];
      const drawn = errors[a];
      for (let k = 0; k < drawn.length; k++) drawn[k] = noise * random();
      times(coefficients[a], drawn, learned[a]);
    }
    for (const one of means) one.fill(0);
    for (let i = 0; i < near.length; i++) {
      if (i === 0) for (let a = 0; a < p; a++) going[a] = random();
      else for (let a = 0; a < p; a++) going[a] = persist[a] * going[a] + fresh[a] * random();
      times(roots[i], going, own);
      for (const g of groupsOf[i]) for (let a = 0; a < p; a++) means[g][a] += own[a];
    }
    for (let g = 0; g < groups.length; g++)
      for (let a = 0; a < p; a++)
        means[g][a] =
          (means[g][a] / groups[g].length + innerProduct(rows[g], learned[a])) * scale[a] +
          innerProduct(effects[g][a], today);
    return means;
  };
}

/** Chi-square by Wilson & Hilferty's cube (1931, Proc. Natl. Acad. Sci. 17:684), good to a per cent from 3 degrees on. */
function chiSquare(degrees: number, random: () => number): number {
  const part = 2 / (9 * degrees);
  return degrees * Math.max(0.05, 1 - part + Math.sqrt(part) * random()) ** 3;
}

/** Root of a square matrix that is symmetric but for rounding, row by row. */
function rootOf(square: ArrayLike<number>): number[][] {
  const size = Math.sqrt(square.length);
  const lifted = Matrix.zeros(size, size);
  for (let a = 0; a < size; a++) {
    for (let b = 0; b < size; b++) lifted.set(a, b, (square[a * size + b] + square[b * size + a]) / 2);
    // Instruments that two quantities share make the matrix nearly singular.
    lifted.set(a, a, lifted.get(a, a) * (1 + 1e-9) + 1e-18);
  }
  return new CholeskyDecomposition(lifted).lowerTriangularMatrix.to2DArray();
}

/** Product of a lower triangle and a vector. */
function times(root: readonly number[][], vector: readonly number[], product: number[]): void {
  for (let a = 0; a < root.length; a++) {
    const row = root[a];
    let sum = 0;
    for (let b = 0; b <= a; b++) sum += row[b] * vector[b];
    product[a] = sum;
  }
}
