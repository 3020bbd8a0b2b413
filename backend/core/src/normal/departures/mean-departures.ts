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
  const order = sharedOrder(normal, all);
  const p = order.length;
  if (p === 0 || groups.length === 0 || groups.some((group) => group.length === 0)) return null;
  const covariance = Matrix.zeros(p * groups.length, p * groups.length);
  const means = groups.map((group) => meanOfGroup(normal, group, order));
  for (let g = 0; g < groups.length; g++)
    for (let h = 0; h <= g; h++) {
      const shared = sharedOf(means[g].common, means[h].common, p);
      for (let a = 0; a < p; a++)
        for (let b = 0; b < p; b++) {
          let value = shared[a * p + b];
          if (g === h) value += means[g].scatter[a * p + b];
          if (a === b) value += relationCovariance(normal.relations[order[a]]!, means[g].row, means[h].row);
          covariance.set(g * p + a, h * p + b, value);
          covariance.set(h * p + b, g * p + a, value);
        }
    }
  const degreesOfFreedom = means.flatMap(({ common }, g) =>
    order.map((quantity, a) => {
      const total = covariance.get(g * p + a, g * p + a);
      let daily = 0;
      for (let k = a; k < common.length; k += p) daily += common[k] ** 2;
      return normal.relations[quantity]!.degreesOfFreedom * (total / (total - daily)) ** 2;
    }),
  );
  return {
    order,
    difference: means.flatMap(({ difference }) => difference),
    covariance,
    degreesOfFreedom,
    plateaus: all.length,
  };
}

/** Quantities that could be judged on all of some plateaus: nearly always those of the normal. */
function sharedOrder(normal: CircuitNormal, all: readonly PlateauDepartures[]): NormalQuantity[] {
  const { length } = normal.order;
  if (all.every((one) => one.order.length === length)) return [...normal.order];
  return normal.order.filter((quantity) => all.every((one) => one.order.includes(quantity)));
}

/** Where quantities stand in what a plateau has of them, both in the normal's order. */
const placesOf = (one: PlateauDepartures, order: readonly NormalQuantity[]): number[] =>
  one.order.length === order.length
    ? order.map((_, a) => a)
    : order.map((quantity) => one.order.indexOf(quantity));

/** Means over a group of plateaus, matrices row after row. */
interface GroupMean {
  difference: number[];
  /** Of the mean of neighbours that go together, by each quantity's persistence. */
  scatter: Float64Array;
  /** What each thing that differs from day to day moves, a row for each. */
  common: Float64Array;
  /** Row of the design of the relations. */
  row: number[];
}

/**
 * In plain loops: each plateau is looked at with its 24 neighbours, so that a fortnight of a circuit takes ten million
 * additions here (a quarter of the time that nested arrays and matrices of objects need).
 */
function meanOfGroup(
  normal: CircuitNormal,
  group: readonly PlateauDepartures[],
  order: readonly NormalQuantity[],
): GroupMean {
  const p = order.length;
  const n = group.length;
  const sources = group[0].common.length;
  const difference = new Array<number>(p).fill(0);
  const scatter = new Float64Array(p * p);
  const common = new Float64Array(sources * p);
  for (const one of group) {
    const places = placesOf(one, order);
    const size = one.order.length;
    for (let a = 0; a < p; a++) {
      difference[a] += one.difference[places[a]] / n;
      const row = places[a] * size;
      for (let b = 0; b <= a; b++) scatter[a * p + b] += one.scatter[row + places[b]] / n;
    }
    for (let k = 0; k < sources; k++) {
      const moved = one.common[k];
      for (let a = 0; a < p; a++) common[k * p + a] += moved[places[a]] / n;
    }
  }
  const wider = order.map((quantity) => {
    const r = normal.persistence[normal.order.indexOf(quantity)];
    return Math.sqrt((1 + (2 * r * (1 - 1 / n)) / (1 - r)) / n);
  });
  for (let a = 0; a < p; a++)
    for (let b = 0; b <= a; b++) {
      scatter[a * p + b] *= wider[a] * wider[b];
      scatter[b * p + a] = scatter[a * p + b];
    }
  return { difference, scatter, common, row: meanBasis(group.map(({ point }) => point)) };
}

/** Covariance of two means by what moves both, row after row. */
function sharedOf(of: Float64Array, other: Float64Array, p: number): Float64Array {
  const shared = new Float64Array(p * p);
  for (let first = 0; first < of.length; first += p)
    for (let a = 0; a < p; a++) {
      const moved = of[first + a];
      if (moved === 0) continue;
      for (let b = 0; b < p; b++) shared[a * p + b] += moved * other[first + b];
    }
  return shared;
}
