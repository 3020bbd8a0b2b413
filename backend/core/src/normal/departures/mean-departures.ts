import { Matrix } from 'ml-matrix';
import type { CircuitNormal } from '../learning/circuit-normal.js';
import { meanRelationCovariance } from '../learning/learned-relation.js';
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
 * points; the instruments' does not fall.
 */
export const meanDepartures = (
  normal: CircuitNormal,
  several: readonly PlateauDepartures[],
): MeanDepartures | null => meanDeparturesOfGroups(normal, [several]);

/**
 * The means of several groups of plateaus one after the other, with their joint covariance: scatter is each group's own,
 * the relations' errors go together as the operating points do, and the instruments read the same in all groups.
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
  const instruments = meanInstruments(all, order);
  const own = groups.map((group) => scatterOfMean(normal, group, order));
  const difference = groups.flatMap((group) => differenceOfMean(group, order));
  const add = (i: number, j: number, value: number) => covariance.set(i, j, covariance.get(i, j) + value);
  groups.forEach((group, g) =>
    groups.slice(0, g + 1).forEach((other, h) =>
      order.forEach((quantity, a) => {
        const [row, column] = [g * p + a, h * p + a];
        for (let b = 0; b < p; b++) {
          add(row, h * p + b, instruments.get(a, b) + (g === h ? own[g].get(a, b) : 0));
          if (g !== h) add(h * p + b, row, instruments.get(a, b));
        }
        const relation = meanRelationCovariance(
          normal.relations[quantity]!,
          group.map(({ point }) => point),
          other.map(({ point }) => point),
        );
        add(row, column, relation);
        if (g !== h) add(column, row, relation);
      }),
    ),
  );
  const degreesOfFreedom = groups.flatMap((_, g) =>
    order.map((quantity, a) => {
      const total = covariance.get(g * p + a, g * p + a);
      const learned = total - instruments.get(a, a);
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

const meanInstruments = (several: readonly PlateauDepartures[], order: readonly NormalQuantity[]): Matrix =>
  meanOfMatrices(
    several.map(({ instruments }) => instruments),
    several.map((one) => placesOf(one, order)),
  );

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
