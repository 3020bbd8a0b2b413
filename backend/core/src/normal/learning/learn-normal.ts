import type { Channel } from '../plateaus/channels.js';
import type { CircuitNormal } from './circuit-normal.js';
import { departuresOf, type PlateauDepartures } from '../departures/departures.js';
import type { Signatures } from '../departures/signatures.js';
import { fansPerKelvin } from './fan-law.js';
import { learnRelation, learnRelationWithout, predict, type LearnedRelation } from './learned-relation.js';
import type { Machine } from '../quantities/machine.js';
import {
  choosePoint,
  conditionOf,
  judgedQuantities,
  pointOf,
  type PointReading,
} from '../quantities/operating-point.js';
import type { Plateau } from '../plateaus/find-plateaus.js';
import {
  channelValues,
  condensing_K,
  quantityFacts,
  quantityValues,
  type ChannelValues,
  referenceOf,
  type NormalQuantity,
} from '../quantities/quantities.js';
import { falseAlarmLimit } from './false-alarm-limit.js';
import { shrunkCorrelation } from './shrunk-correlation.js';

/** Under this, nothing is learned: a relation to three conditions from fewer plateaus would be a guess. */
export const leastPlateaus = 8;
/** Plateaus are left out in at most this many groups of neighbours. */
const mostGroups = 40;
/** Neighbours this close in time and operating point are one condition held, and are left out together. */
const sameCondition = { within_s: 1800, distance: 0.15 };

/** What the usual faults are looked for by in a machine, from the plateaus that its normal was learned from. */
export type SignaturesOf = (
  machine: Machine,
  normal: CircuitNormal,
  learned: readonly PlateauDepartures[],
) => Signatures | null;

/**
 * The condition that a quantity is not learned from. A flow that the plant varies is a condition of all else, and is itself judged by
 * what it is under the others. Fans that follow the pressure tell the approach by their own law, whatever the condenser does.
 */
const leftOutOf: typeof conditionOf = { ...conditionOf, condenserApproach_K: 'fan' };

/**
 * Learns the normal of a circuit from plateaus of running in which nothing is known to be wrong. After the idea of
 * self-training fault-free models (Heo, Payne, Domanski & Du 2015, NIST Technical Note 1881): no factory data, only the
 * machine's own past. Null under eight plateaus.
 */
export function learnCircuitNormal(
  machine: Machine,
  plateaus: readonly Plateau[],
  signaturesOf: SignaturesOf = () => null,
): CircuitNormal | null {
  if (plateaus.length < leastPlateaus) return null;
  const at = plateaus.map(({ values }) => channelValues(values));
  const point = choosePoint(machine, at);
  const points = at.map((values) => pointOf(machine, values, point));
  const groups = groupsOf(plateaus, points);
  const values = at.map((one) => quantityValues(machine, one));
  const relations: CircuitNormal['relations'] = {};
  const reference: CircuitNormal['reference'] = {};
  const order: NormalQuantity[] = [];
  const residuals: number[][] = [];
  for (const quantity of judgedQuantities(point, machine)) {
    const unit = referenceOf(
      quantity,
      values.map((one) => one[quantity]),
    );
    const scaled = values.map((one) => one[quantity] / unit);
    if (scaled.filter(Number.isFinite).length < Math.max(leastPlateaus, 0.7 * plateaus.length)) continue;
    const usual = quantityFacts[quantity].usual;
    const left = point.used.findIndex((predictor) => predictor === leftOutOf[quantity]);
    const fit =
      left < 0
        ? learnRelation(points, scaled, usual, groups)
        : learnRelationWithout(left, points, scaled, usual, groups);
    if (!fit) continue;
    relations[quantity] = fit.relation;
    reference[quantity] = unit;
    order.push(quantity);
    residuals.push(fit.leftOut);
  }
  if (order.length === 0) return null;
  const persistence = persistenceOf(residuals);
  order.forEach((quantity, k) => {
    relations[quantity] = knownLess(relations[quantity]!, persistence[k]);
  });
  const normal: CircuitNormal = {
    refrigerant: machine.refrigerant,
    from_s: plateaus[0].from_s,
    to_s: plateaus[plateaus.length - 1].to_s,
    plateaus: plateaus.length,
    point,
    relations,
    reference,
    order,
    correlation: shrunkCorrelation(residuals),
    persistence,
    signatures: null,
    limit: 1,
    condensing: condensingOf(machine, at, point, points, groups),
    channels: channelsOf(at),
    throttledUnder_K: throttledUnder(machine, at, points, relations, reference),
    fansPerKelvin: fansPerKelvin(machine, at),
  };
  const learned = plateaus.map((plateau) => departuresOf(machine, normal, plateau));
  const signatures = signaturesOf(machine, normal, learned);
  return { ...normal, signatures, limit: falseAlarmLimit({ ...normal, signatures }, learned) };
}

/** How well condensing repeats itself from plateau to plateau, K (common practice, no source). */
const usualCondensing_K = 0.12;

function condensingOf(
  machine: Machine,
  at: readonly ChannelValues[],
  { used }: PointReading,
  points: readonly (readonly number[])[],
  groups: readonly number[],
): LearnedRelation | null {
  if (used.includes('sink')) return null;
  const values = at.map((one) => condensing_K(machine, one.dischargePressure_Pa));
  const place = used.indexOf('condensing');
  const fit =
    place < 0
      ? learnRelation(points, values, usualCondensing_K, groups)
      : learnRelationWithout(place, points, values, usualCondensing_K, groups);
  return fit?.relation ?? null;
}

/** A flow that lies under its relation by this share was throttled. Judgement, no source. */
const throttledBy = 0.03;

function throttledUnder(
  machine: Machine,
  at: readonly ChannelValues[],
  points: readonly (readonly number[])[],
  { condenserFlow_m3_s: relation }: CircuitNormal['relations'],
  { condenserFlow_m3_s: reference }: CircuitNormal['reference'],
): number | null {
  const condensing = at.map((one) => condensing_K(machine, one.dischargePressure_Pa));
  const known = condensing.filter(Number.isFinite);
  if (relation === undefined || reference === undefined || known.length === 0) return null;
  const throttled = condensing.filter(
    (value, i) =>
      Number.isFinite(value) &&
      at[i].condenserFlow_m3_s / reference - predict(relation, points[i]).value < -throttledBy,
  );
  return throttled.length > 0 ? Math.max(...throttled) : Math.min(...known);
}

function channelsOf(at: readonly ChannelValues[]): Channel[] {
  const names = Object.keys(at[0]) as Channel[];
  return names.filter((name) => at.some((values) => Number.isFinite(values[name])));
}

/** Neighbouring plateaus of one held condition share a number; long records are cut into equal stretches of neighbours. */
function groupsOf(plateaus: readonly Plateau[], points: readonly (readonly number[])[]): number[] {
  const groups: number[] = [];
  let group = -1;
  plateaus.forEach((plateau, i) => {
    const near =
      i > 0 &&
      plateau.from_s - plateaus[i - 1].to_s < sameCondition.within_s &&
      Math.hypot(...points[i].map((value, k) => value - points[i - 1][k])) < sameCondition.distance;
    if (!near) group++;
    groups.push(group);
  });
  const count = group + 1;
  return count <= mostGroups ? groups : groups.map((own) => Math.floor((own * mostGroups) / count));
}

/** A quantity's own autocorrelation counts as much as its plateaus, that of all quantities as much as so many. */
const pooled = 12;
const mostPersistent = 0.8;

/**
 * First autocorrelation of each quantity's left-out residuals, drawn towards that of all: a flow that wanders over hours
 * makes neighbours alike where a pressure does not, but two dozen plateaus tell it poorly. Of n values about their own
 * mean it comes out too low by about 1/n.
 */
function persistenceOf(residuals: readonly (readonly number[])[]): number[] {
  const each = residuals.map((one) => {
    let [products, squares, count] = [0, 0, 0];
    for (let i = 1; i < one.length; i++) {
      if (!Number.isFinite(one[i]) || !Number.isFinite(one[i - 1])) continue;
      products += limited(one[i]) * limited(one[i - 1]);
      squares += (limited(one[i]) ** 2 + limited(one[i - 1]) ** 2) / 2;
      count++;
    }
    return { products, squares, count };
  });
  const all = each.reduce((sum, { squares }) => sum + squares, 0);
  const common = all === 0 ? 0 : each.reduce((sum, { products }) => sum + products, 0) / all;
  return each.map(({ products, squares, count }) => {
    if (squares === 0) return 0;
    const own = products / squares + 1 / count;
    return Math.min(mostPersistent, Math.max(0, (count * own + pooled * common) / (count + pooled)));
  });
}

/** By how much the variance of a mean falls less than with the number of values, of a first-order autoregression. */
export const varianceInflation = (persistence: number): number => (1 + persistence) / (1 - persistence);

/** A relation whose residuals go together knows its coefficients less well: their covariance counts for fewer plateaus. */
const knownLess = (relation: LearnedRelation, persistence: number): LearnedRelation => ({
  ...relation,
  inverse: relation.inverse.map((value) => value * varianceInflation(persistence)),
});

const limited = (t: number): number => Math.max(-3, Math.min(3, t));
