import { EigenvalueDecomposition, Matrix } from 'ml-matrix';
import { median } from '../../numerics/index.js';
import { departuresOf } from '../departures/departures.js';
import type { Plateau } from '../plateaus/find-plateaus.js';
import type { Machine } from '../quantities/machine.js';
import {
  conditionOf,
  pointOf,
  pointShift,
  type PointReading,
  type Predictor,
} from '../quantities/operating-point.js';
import {
  channelValues,
  quantityFacts,
  quantityValues,
  type ChannelValues,
  type NormalQuantity,
} from '../quantities/quantities.js';
import type { CircuitNormal } from './circuit-normal.js';
import { falseAlarmLimit } from './false-alarm-limit.js';
import { leastPlateaus, type SignaturesOf } from './learn-normal.js';
import { curvedPairs, type LearnedRelation } from './learned-relation.js';

/** A circuit of another unit with what it learned. */
export interface LikeCircuit {
  machine: Pick<Machine, 'refrigerant' | 'condenser' | 'evaporator' | 'alone'>;
  /** Cooling capacity of the circuit at full load, W. */
  capacity_W: number;
  normal: CircuitNormal;
}

/** Under so many like units nothing is said: what differs between units would be known too poorly. */
export const leastLike = 6;
/** A like unit is no more than so many times larger or smaller. Judgement, no source. */
export const likeSize = 2.5;

/** Whether a circuit is like another: refrigerant, exchangers, size, and the water to itself or shared. */
const isLike = (machine: Machine, capacity_W: number, { machine: other, capacity_W: size_W }: LikeCircuit) =>
  other.refrigerant === machine.refrigerant &&
  other.condenser === machine.condenser &&
  other.evaporator === machine.evaporator &&
  other.alone === machine.alone &&
  Math.abs(Math.log(size_W / capacity_W)) <= Math.log(likeSize);

/**
 * What a unit without a past of its own is compared with: what like units do in the same conditions.
 *
 * A hierarchical linear model (Lindley & Smith 1972, J. R. Stat. Soc. B 34:1; empirical Bayes): each unit's coefficients are drawn
 * from a normal distribution about the cohort's. Its mean and its covariance between units are estimated by moments from the
 * like units' own relations, brought to one operating point; how well each knows its own is left in, and the covariance is
 * drawn half way to its diagonal, so that it is rather too wide than too narrow. A new unit's relations are then known as well as
 * a draw from it, with Student's t for the number of units; flows and powers are scaled by the capacity.
 *
 * @param plateaus of the new unit: where it runs, for the limit of false alarms
 * @returns null: too few like units, too few plateaus, or nothing that they have in common with it
 */
export function cohortNormal(
  machine: Machine,
  capacity_W: number,
  others: readonly LikeCircuit[],
  plateaus: readonly Plateau[],
  signaturesOf: SignaturesOf = () => null,
): CircuitNormal | null {
  if (plateaus.length < leastPlateaus) return null;
  const sent = sentBy(machine, plateaus);
  const like = mostAlike(
    others.filter((other) => isLike(machine, capacity_W, other) && sent.readsLoad(other.normal.point)),
  );
  if (like.length < leastLike) return null;
  const points = like.map((one) => brought(one, capacity_W));
  const point = commonPoint(points, sent.reads);
  const order = like[0].normal.order.filter(
    (quantity) =>
      sent.has(quantity) &&
      like.every(
        ({ normal: { relations: own, point: by } }) =>
          // What some units take for a condition is nothing that a new one can be judged by.
          own[quantity] !== undefined && !by.used.some((predictor) => predictor === conditionOf[quantity]),
      ),
  );
  const relations: CircuitNormal['relations'] = {};
  const reference: CircuitNormal['reference'] = {};
  for (const quantity of order) {
    const scale = like.map((one) => scaleOf(quantity, one, capacity_W));
    reference[quantity] = quantityFacts[quantity].compared === 'difference' ? 1 : median(scale);
    relations[quantity] = betweenUnits(
      like.map(({ normal }, k) =>
        broughtTo(point, points[k], normal.relations[quantity]!, scale[k] / reference[quantity]!),
      ),
    );
  }
  if (order.length === 0) return null;
  const normal: CircuitNormal = {
    refrigerant: machine.refrigerant,
    from_s: plateaus[0].from_s,
    // Nothing of the unit's own was learned: all its plateaus are compared.
    to_s: plateaus[0].from_s,
    plateaus: like.reduce((sum, { normal: { plateaus: count } }) => sum + count, 0),
    likeUnits: like.length,
    point,
    relations,
    reference,
    order,
    correlation: meanCorrelation(like, order),
    persistence: order.map((quantity) =>
      median(like.map(({ normal: one }) => one.persistence[one.order.indexOf(quantity)])),
    ),
    signatures: null,
    limit: 1,
    channels: like[0].normal.channels,
    throttledUnder_K: highest(like.map(({ normal: one }) => one.throttledUnder_K ?? null)),
  };
  const at = plateaus.map((plateau) => departuresOf(machine, normal, plateau));
  if (!at.some(({ order: judged }) => judged.length === order.length)) return null;
  const signatures = signaturesOf(machine, normal, at);
  return { ...normal, signatures, limit: Math.max(1, falseAlarmLimit({ ...normal, signatures }, at)) };
}

/** What the new unit itself sends, on nine of ten plateaus, of what like units are judged by. */
function sentBy(machine: Machine, plateaus: readonly Plateau[]) {
  const at = plateaus.map(({ values }) => channelValues(values));
  const values = at.map((one) => quantityValues(machine, one));
  const enough = (is: (one: ChannelValues, place: number) => boolean) =>
    at.filter(is).length >= 0.9 * at.length;
  const reads = (point: PointReading, predictor: Predictor) =>
    enough((one) =>
      pointOf(machine, one, { ...point, used: [predictor], centre: [0] }).every(Number.isFinite),
    );
  return {
    reads,
    readsLoad: (point: PointReading) => !point.used.includes('load') || reads(point, 'load'),
    has: (quantity: NormalQuantity) => enough((_, place) => Number.isFinite(values[place][quantity])),
  };
}

/** Those that read their load alike, of which there are most. */
function mostAlike(like: readonly LikeCircuit[]): LikeCircuit[] {
  const groups = new Map<string, LikeCircuit[]>();
  for (const one of like) {
    const key = String(one.normal.point.loadSource);
    groups.set(key, [...(groups.get(key) ?? []), one]);
  }
  return [...groups.values()].reduce((most, group) => (group.length > most.length ? group : most), []);
}

const ofSize = (loadSource: PointReading['loadSource']): boolean =>
  loadSource === 'water-heat' || loadSource === 'compressor-power';

/** A circuit's operating point as it would be at another capacity: heat, power and flows go with the size. */
function brought({ normal: { point }, capacity_W: own_W }: LikeCircuit, capacity_W: number): PointReading {
  const times = capacity_W / own_W;
  return {
    ...point,
    fullLoad: point.fullLoad * (ofSize(point.loadSource) ? times : 1),
    ...(point.fullHeat === undefined ? {} : { fullHeat: point.fullHeat * times }),
    centre: point.centre.map((centre, k) =>
      point.used[k].endsWith('Flow') ? centre + Math.log(times) : centre,
    ),
  };
}

/** The operating point that all are brought to: of what all of them use and the new unit sends, the middle of theirs. */
function commonPoint(
  points: readonly PointReading[],
  reads: (point: PointReading, predictor: Predictor) => boolean,
): PointReading {
  const used = points[0].used.filter(
    (predictor) => reads(points[0], predictor) && points.every((point) => point.used.includes(predictor)),
  );
  return {
    ...points[0],
    fullLoad: median(points.map(({ fullLoad }) => fullLoad)),
    ...(used.includes('unitHeat') ? { fullHeat: median(points.map(({ fullHeat }) => fullHeat!)) } : {}),
    used,
    centre: used.map((predictor) =>
      median(points.map((point) => point.centre[point.used.indexOf(predictor)])),
    ),
  };
}

/** What a quantity is divided by in a unit, brought to the capacity of the new one: flows and powers go with the size, an opening does not. */
function scaleOf(quantity: NormalQuantity, { normal, capacity_W: own_W }: LikeCircuit, capacity_W: number) {
  const own = normal.reference[quantity]!;
  return quantityFacts[quantity].compared === 'difference' || quantity === 'valveOpening_pct'
    ? own
    : (own * capacity_W) / own_W;
}

interface Brought {
  coefficients: number[];
  covariance: Matrix;
  noise: number;
}

/** Conditions that only some units use vary by about this much in their units. Judgement, no source. */
const unusedSpread = 0.5;

/**
 * A relation in another operating point's coordinates, times a factor: the point changes by a scale and a shift, so that the
 * coefficients change linearly. What the common point lacks is taken at its own middle, and scatters the quantity.
 */
function broughtTo(
  common: PointReading,
  own: PointReading,
  relation: LearnedRelation,
  factor: number,
): Brought {
  const size = relation.coefficients.length;
  const to = changeOfBasis(common, own, size);
  const inverse = Matrix.zeros(size, size);
  for (let a = 0; a < size; a++)
    for (let b = 0; b < size; b++) inverse.set(a, b, relation.inverse[a * size + b]);
  const unused = own.used.flatMap((predictor, k) =>
    common.used.includes(predictor) ? [] : [unusedSpread * relation.coefficients[1 + k]],
  );
  return {
    coefficients: to.mmul(Matrix.columnVector(relation.coefficients)).mul(factor).to1DArray(),
    covariance: to
      .mmul(inverse)
      .mmul(to.transpose())
      .mul((relation.noise * factor) ** 2),
    noise: factor * Math.hypot(relation.noise, ...unused),
  };
}

/** The matrix that takes coefficients over the own point to those over the common one. */
function changeOfBasis(common: PointReading, own: PointReading, size: number): Matrix {
  const n = common.used.length;
  const pairs = curvedPairs(n);
  const to = Matrix.zeros(1 + n + pairs.length, size);
  const add = (row: number, column: number, value: number) => {
    if (value !== 0) to.set(row, column, to.get(row, column) + value);
  };
  // own = scale * common + shift; one that is not in the common point stands at its middle, 0.
  const of = own.used.map((predictor) => {
    const place = common.used.indexOf(predictor);
    return place < 0 ? { place, scale: 0, shift: 0 } : { place, ...pointShift(common, own, predictor) };
  });
  add(0, 0, 1);
  of.forEach(({ place, scale, shift }, k) => {
    add(0, 1 + k, shift);
    if (place >= 0) add(1 + place, 1 + k, scale);
  });
  curvedPairs(of.length).forEach(([a, b], k) => {
    const column = 1 + of.length + k;
    const [one, other] = [of[a], of[b]];
    add(0, column, one.shift * other.shift);
    if (one.place >= 0) add(1 + one.place, column, one.scale * other.shift);
    if (other.place >= 0) add(1 + other.place, column, other.scale * one.shift);
    const row = pairs.findIndex(([c, d]) => c === one.place && d === other.place);
    if (row >= 0) add(1 + n + row, column, one.scale * other.scale);
  });
  return to;
}

/** The relation of a unit that is one more of its like. */
function betweenUnits(units: readonly Brought[]): LearnedRelation {
  const n = units.length;
  const size = units[0].coefficients.length;
  const mean = units[0].coefficients.map((_, k) =>
    units.reduce((sum, { coefficients }) => sum + coefficients[k] / n, 0),
  );
  const covariance = Matrix.zeros(size, size);
  for (const { coefficients, covariance: own } of units)
    for (let a = 0; a < size; a++)
      for (let b = 0; b < size; b++) {
        const between = ((coefficients[a] - mean[a]) * (coefficients[b] - mean[b]) * (1 + 1 / n)) / (n - 1);
        const value = (a === b ? 1 : drawn) * between + own.get(a, b) / n;
        covariance.set(a, b, covariance.get(a, b) + value);
      }
  const noise = median(units.map((unit) => unit.noise));
  const plain = positive(covariance);
  return {
    coefficients: mean,
    inverse: plain.to1DArray().map((value) => value / noise ** 2),
    noise,
    // What is uncertain is how units differ, known from so many of them.
    degreesOfFreedom: Math.max(2, n - 1),
    plateaus: n,
  };
}

/** Covariances of so few units are drawn half way to none. Judgement, no source. */
const drawn = 0.5;

/** Rounding can leave a covariance a little indefinite. */
function positive(covariance: Matrix): Matrix {
  const { realEigenvalues, eigenvectorMatrix } = new EigenvalueDecomposition(covariance, {
    assumeSymmetric: true,
  });
  const floor = 1e-9 * Math.max(...realEigenvalues);
  return eigenvectorMatrix
    .mmul(Matrix.diag(realEigenvalues.map((value) => Math.max(value, floor))))
    .mmul(eigenvectorMatrix.transpose());
}

function meanCorrelation(like: readonly LikeCircuit[], order: readonly NormalQuantity[]): number[] {
  return order.flatMap((a) =>
    order.map((b) =>
      like.reduce((sum, { normal }) => {
        const size = normal.order.length;
        return (
          sum + normal.correlation[normal.order.indexOf(a) * size + normal.order.indexOf(b)] / like.length
        );
      }, 0),
    ),
  );
}

const highest = (values: readonly (number | null)[]): number | null => {
  const known = values.filter((value) => value !== null);
  return known.length === 0 ? null : Math.max(...known);
};
