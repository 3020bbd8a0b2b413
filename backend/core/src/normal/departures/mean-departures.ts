import { Matrix } from 'ml-matrix';
import type { CircuitNormal } from '../learning/circuit-normal.js';
import { meanBasis, relationCovariance } from '../learning/learned-relation.js';
import type { NormalQuantity } from '../quantities/quantities.js';
import type { PlateauDepartures } from './departures.js';

/** Mean of the differences of several plateaus with what is not averaged away. */
export interface MeanDepartures {
  order: NormalQuantity[];
  difference: number[];
  covariance: Matrix;
  degreesOfFreedom: number[];
  plateaus: number;
}

/**
 * Mean differences over plateaus on which the same quantities could be judged. The machine's scatter falls with their
 * number, less so where neighbours go together; the relation's uncertainty is that of its mean over their operating
 * points; what differs from day to day does not fall.
 */
export const meanDepartures = (
  normal: CircuitNormal,
  several: readonly PlateauDepartures[],
): MeanDepartures | null => meanDeparturesOfGroups(normal, [several]);

/**
 * The means of several groups of plateaus one after the other, with their joint covariance: scatter is each group's own,
 * the relations' errors go together as the operating points do, and what differs from day to day is the same in all groups.
 * `order` is that of one group; null where a group is empty or nothing could be judged.
 */
export function meanDeparturesOfGroups(
  normal: CircuitNormal,
  groups: readonly (readonly PlateauDepartures[])[],
): MeanDepartures | null {
  const all = groups.flat();
  const order = normal.order.filter((quantity) => all.every((one) => one.order.includes(quantity)));
  const p = order.length;
  if (p === 0 || groups.length === 0 || groups.some((group) => group.length === 0)) return null;
  const covariance = Matrix.zeros(p * groups.length, p * groups.length);
  const common = groups.map((group) => meanCommon(group, order));
  const own = groups.map((group) => scatterOfMean(normal, group, order));
  const rows = groups.map((group) => meanBasis(group.map(({ point }) => point)));
  const difference = groups.flatMap((group) => differenceOfMean(group, order));
  for (let g = 0; g < groups.length; g++)
    for (let h = 0; h <= g; h++) {
      const shared = sharedOf(common[g], common[h], p);
      for (let a = 0; a < p; a++)
        for (let b = 0; b < p; b++) {
          let value = shared[a][b];
          if (g === h) value += own[g].get(a, b);
          if (a === b) value += relationCovariance(normal.relations[order[a]]!, rows[g], rows[h]);
          covariance.set(g * p + a, h * p + b, value);
          covariance.set(h * p + b, g * p + a, value);
        }
    }
  const degreesOfFreedom = groups.flatMap((_, g) =>
    order.map((quantity, a) => {
      const total = covariance.get(g * p + a, g * p + a);
      const learned = total - common[g].reduce((sum, effect) => sum + effect[a] ** 2, 0);
      return normal.relations[quantity]!.degreesOfFreedom * (total / learned) ** 2;
    }),
  );
  return { order, difference, covariance, degreesOfFreedom, plateaus: all.length };
}

const placesOf = (one: PlateauDepartures, order: readonly NormalQuantity[]): number[] =>
  order.map((quantity) => one.order.indexOf(quantity));

function differenceOfMean(several: readonly PlateauDepartures[], order: readonly NormalQuantity[]): number[] {
  const difference = new Array<number>(order.length).fill(0);
  for (const one of several)
    placesOf(one, order).forEach((place, a) => (difference[a] += one.difference[place] / several.length));
  return difference;
}

/** The scatter of the mean of neighbours that go together, by each quantity's persistence. */
function scatterOfMean(
  normal: CircuitNormal,
  several: readonly PlateauDepartures[],
  order: readonly NormalQuantity[],
): Matrix {
  const n = several.length;
  const mean = meanOfMatrices(
    several.map(({ scatter }) => scatter),
    several.map((one) => placesOf(one, order)),
  );
  const wider = order.map((quantity) => {
    const r = normal.persistence[normal.order.indexOf(quantity)];
    return Math.sqrt((1 + (2 * r * (1 - 1 / n)) / (1 - r)) / n);
  });
  wider.forEach((own, a) => wider.forEach((other, b) => mean.set(a, b, mean.get(a, b) * (own * other))));
  return mean;
}

/** Mean of what each thing that differs from day to day moves over some plateaus. */
function meanCommon(several: readonly PlateauDepartures[], order: readonly NormalQuantity[]): number[][] {
  const mean = several[0].common.map(() => order.map(() => 0));
  for (const one of several) {
    const places = placesOf(one, order);
    for (let k = 0; k < mean.length; k++)
      for (let a = 0; a < places.length; a++) mean[k][a] += one.common[k][places[a]] / several.length;
  }
  return mean;
}

/** Covariance of two means by what moves both. */
function sharedOf(of: readonly number[][], other: readonly number[][], p: number): number[][] {
  const shared = Array.from({ length: p }, () => new Array<number>(p).fill(0));
  for (let k = 0; k < of.length; k++)
    for (let a = 0; a < p; a++) {
      const moved = of[k][a];
      if (moved === 0) continue;
      for (let b = 0; b < p; b++) shared[a][b] += moved * other[k][b];
    }
  return shared;
}

function meanOfMatrices(matrices: readonly Matrix[], places: readonly (readonly number[])[]): Matrix {
  const p = places[0].length;
  const mean = Matrix.zeros(p, p);
  matrices.forEach((matrix, i) => {
    for (let a = 0; a < p; a++)
      for (let b = 0; b < p; b++)
        mean.set(a, b, mean.get(a, b) + matrix.get(places[i][a], places[i][b]) / matrices.length);
  });
  return mean;
}
