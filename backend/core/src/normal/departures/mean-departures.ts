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

/**
 * What is averaged of a plateau, one after the other: the differences, the scatter on and under the diagonal, and what each
 * thing that differs from day to day moves them by. Each plateau is averaged with 24 neighbours, so it is put in this order once.
 */
function partsOf(one: PlateauDepartures, order: readonly NormalQuantity[]): Float64Array {
  const whole = one.order.length === order.length;
  const known = whole ? partsOfAll.get(one) : undefined;
  if (known !== undefined) return known;
  const places = order.map((quantity) => one.order.indexOf(quantity));
  const p = order.length;
  const size = one.order.length;
  const parts = new Float64Array(p + (p * (p + 1)) / 2 + one.common.length * p);
  let next = 0;
  for (const place of places) parts[next++] = one.difference[place];
  for (let a = 0; a < p; a++)
    for (let b = 0; b <= a; b++) parts[next++] = one.scatter[places[a] * size + places[b]];
  for (const moved of one.common) for (const place of places) parts[next++] = moved[place];
  if (whole) partsOfAll.set(one, parts);
  return parts;
}

/** Those of all quantities of a plateau. */
const partsOfAll = new WeakMap<PlateauDepartures, Float64Array>();

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
 * In plain loops: a fortnight of a circuit takes ten million additions here (a quarter of the time that nested arrays and
 * matrices of objects need).
 */
function meanOfGroup(
  normal: CircuitNormal,
  group: readonly PlateauDepartures[],
  order: readonly NormalQuantity[],
): GroupMean {
  const p = order.length;
  const n = group.length;
  const sum = partsOf(group[0], order).slice();
  for (let i = 1; i < n; i++) {
    const parts = partsOf(group[i], order);
    for (let k = 0; k < sum.length; k++) sum[k] += parts[k];
  }
  for (let k = 0; k < sum.length; k++) sum[k] /= n;
  const wider = order.map((quantity) => {
    const r = normal.persistence[normal.order.indexOf(quantity)];
    return Math.sqrt((1 + (2 * r * (1 - 1 / n)) / (1 - r)) / n);
  });
  const scatter = new Float64Array(p * p);
  let next = p;
  for (let a = 0; a < p; a++)
    for (let b = 0; b <= a; b++) {
      const value = sum[next++] * (wider[a] * wider[b]);
      scatter[a * p + b] = value;
      scatter[b * p + a] = value;
    }
  return {
    difference: Array.from(sum.subarray(0, p)),
    scatter,
    common: sum.subarray(next),
    row: meanBasis(group.map(({ point }) => point)),
  };
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
