import { choleskyRoot, filled, innerProduct, normalDraws, seededRandom } from '../../numerics/index.js';
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
  const roots = usable.map(({ scatter }) => rootOf(scatter));
  const coefficients = normal.order.map((quantity) => rootOf(normal.relations[quantity]!.inverse));
  for (let place = 0; place < places; place++) {
    const i = Math.floor((place * n) / places);
    const from = Math.max(0, i - neighbours);
    const near = usable.slice(from, i + neighbours + 1);
    const alone = lookOf(normal, meanDepartures(normal, [usable[i]])!);
    const groups = nearByLoad(normal, near);
    const together = lookOf(normal, meanDepartures(normal, near)!, groups === null);
    const byLoad = groups && lookOf(normal, meanDeparturesOfGroups(normal, groups)!);
    const own = groups?.map((group) => group.map((one) => near.indexOf(one))) ?? [];
    const drawn = drawer(
      normal,
      { near, roots: roots.slice(from, from + near.length), coefficients },
      [[i - from], near.map((_, k) => k), ...own],
      random,
    );
    const p = normal.order.length;
    const [itself, all, atLoads] = [[0, p], [p, 2 * p], [2 * p]].map(([at, to]) =>
      drawn.means.subarray(at, to),
    );
    for (let k = 0; k < draws / places; k++) {
      drawn.next();
      highest.push(
        Math.max(measure(alone, itself), measure(together, all), byLoad ? measure(byLoad, atLoads) : 0),
      );
    }
  }
  highest.sort((a, b) => a - b);
  return highest[Math.floor((1 - falseAlarmRate) * highest.length)];
}

/** Plateaus near each other, with the root of each one's scatter and of each relation's error. */
interface Drawn {
  near: readonly PlateauDepartures[];
  roots: readonly Float64Array[];
  coefficients: readonly Float64Array[];
}

/**
 * Draws mean differences from normal over groups of some plateaus in which nothing is wrong, neighbours as alike as they
 * were seen to be: `next` puts those of the next draw into `means`, group after group. In plain loops over rows of numbers, and what is linear in a
 * plateau (the relations' errors, what differs from day to day) by its mean over the group: a circuit takes 1500 draws of
 * 25 plateaus.
 */
function drawer(
  normal: CircuitNormal,
  { near, roots, coefficients }: Drawn,
  groups: readonly (readonly number[])[],
  random: () => number,
): { means: Float64Array; next: () => void } {
  const p = normal.order.length;
  const relationsOf = normal.order.map((quantity) => normal.relations[quantity]!);
  const rows = groups.map((group) => new Float64Array(meanBasis(group.map((i) => near[i].point))));
  const sources = near[0].common.flatMap((_, k) =>
    near.some(({ common }) => common[k].some((value) => value !== 0)) ? [k] : [],
  );
  // By group and quantity, what each source moves its mean by.
  const effects = groups.map((group) =>
    normal.order.map((_, a) =>
      filled(
        sources.length,
        (k) => group.reduce((sum, i) => sum + near[i].common[sources[k]][a], 0) / group.length,
      ),
    ),
  );
  const groupsOf = near.map((_, i) => groups.flatMap((group, g) => (group.includes(i) ? [g] : [])));
  const persist = normal.persistence;
  const fresh = persist.map((r) => Math.sqrt(1 - r * r));
  const zeros = (length: number) => new Float64Array(length);
  const scale = zeros(p);
  const today = zeros(sources.length);
  const learned = rows[0].length;
  const errors = relationsOf.map(() => zeros(learned));
  const drawn = zeros(learned);
  const going = zeros(p);
  const own = zeros(p);
  const means = zeros(groups.length * p);
  const next = () => {
    for (let a = 0; a < p; a++) {
      const nu = relationsOf[a].degreesOfFreedom;
      scale[a] = Math.sqrt(nu / chiSquare(nu, random));
    }
    for (let k = 0; k < today.length; k++) today[k] = random();
    for (let a = 0; a < p; a++) {
      const { noise } = relationsOf[a];
      for (let k = 0; k < learned; k++) drawn[k] = noise * random();
      times(coefficients[a], drawn, errors[a]);
    }
    means.fill(0);
    for (let i = 0; i < near.length; i++) {
      if (i === 0) for (let a = 0; a < p; a++) going[a] = random();
      else for (let a = 0; a < p; a++) going[a] = persist[a] * going[a] + fresh[a] * random();
      times(roots[i], going, own);
      for (const g of groupsOf[i]) for (let a = 0; a < p; a++) means[g * p + a] += own[a];
    }
    for (let g = 0; g < groups.length; g++)
      for (let a = 0; a < p; a++)
        means[g * p + a] =
          (means[g * p + a] / groups[g].length + innerProduct(rows[g], errors[a])) * scale[a] +
          innerProduct(effects[g][a], today);
  };
  return { means, next };
}

/** Chi-square by Wilson & Hilferty's cube (1931, Proc. Natl. Acad. Sci. 17:684), good to a per cent from 3 degrees on. */
function chiSquare(degrees: number, random: () => number): number {
  const part = 2 / (9 * degrees);
  return degrees * Math.max(0.05, 1 - part + Math.sqrt(part) * random()) ** 3;
}

/** Root of a square matrix that is symmetric but for rounding, row by row. */
function rootOf(square: ArrayLike<number>): Float64Array {
  const size = Math.sqrt(square.length);
  const lifted = new Float64Array(size * size);
  for (let a = 0; a < size; a++) {
    for (let b = 0; b < a; b++) lifted[a * size + b] = (square[a * size + b] + square[b * size + a]) / 2;
    // Instruments that two quantities share make the matrix nearly singular.
    lifted[a * size + a] = square[a * size + a] * (1 + 1e-9) + 1e-18;
  }
  return choleskyRoot(lifted, size);
}

/** Product of a lower triangle, row by row, and a vector. */
function times(root: Float64Array, vector: Float64Array, product: Float64Array): void {
  const size = vector.length;
  for (let a = 0; a < size; a++) {
    let sum = 0;
    for (let b = 0; b <= a; b++) sum += root[a * size + b] * vector[b];
    product[a] = sum;
  }
}
