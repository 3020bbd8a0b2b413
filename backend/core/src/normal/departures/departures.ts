import { channels, type Channel } from '../plateaus/channels.js';
import type { CircuitNormal } from '../learning/circuit-normal.js';
import { innerProduct } from '../../numerics/index.js';
import { basis, predict, type Prediction } from '../learning/learned-relation.js';
import type { Machine } from '../quantities/machine.js';
import { dayToDay, type ChannelMoves } from '../quantities/day-to-day.js';
import { unreadCoolant } from '../quantities/unread-coolant.js';
import { isBeyondLoad, pointOf } from '../quantities/operating-point.js';
import type { Plateau } from '../plateaus/find-plateaus.js';
import {
  channelValues,
  condensing_K,
  quantityValues,
  repeatability,
  type ChannelValues,
  type NormalQuantity,
} from '../quantities/quantities.js';

/** How far a quantity lies from the learned normal. */
export interface Departure {
  value: number;
  expected: number;
  /** In standard uncertainties of the difference. */
  z: number;
}

/** A plateau's differences from normal on the scale of comparison, with their covariance in parts. */
export interface PlateauDepartures {
  plateau: Plateau;
  at: ChannelValues;
  point: number[];
  /** Quantities that could be judged on it, in the order of the normal. */
  order: NormalQuantity[];
  difference: number[];
  /** Covariance by the scatter of one plateau, row after row: of the machine about its normal, and of the plateau's own means. */
  scatter: Float64Array;
  /** Of the learned relations, by quantity (they are learned one by one). */
  relation: number[];
  /** What each thing that differs from day to day moves the differences by, the same thing in the same place on all plateaus. */
  common: number[][];
  degreesOfFreedom: number[];
  departures: Partial<Record<NormalQuantity, Departure>>;
}

/**
 * Differences of one plateau from the learned normal. Their covariance has three parts: the machine's own scatter about
 * its relations, with the correlation that it was seen to have; the relations' uncertainty at this operating point,
 * which grows towards the corners of what was learned and beyond (far over the highest load nothing is judged); and what instruments and machine do not repeat from day
 * to day, through the quantities they enter, so that a pressure that reads otherwise today is expected to move approach
 * and subcooling together.
 */
export function departuresOf(machine: Machine, normal: CircuitNormal, plateau: Plateau): PlateauDepartures {
  const at = channelValues(plateau.values);
  const point = pointOf(machine, at, normal.point);
  const usable = point.every(Number.isFinite) && !isBeyondLoad(point, normal.point);
  const value = quantityValues(machine, at);
  const order = usable ? normal.order.filter((quantity) => Number.isFinite(value[quantity])) : [];
  const predictions = order.map((quantity) => predict(normal.relations[quantity]!, point));
  const difference = order.map(
    (quantity, k) => value[quantity] / normal.reference[quantity]! - predictions[k].value,
  );
  const { common, means } = fromChannels(machine, normal, plateau, at, point, order, difference);
  const daily = order.map((_, k) => common.reduce((sum, effect) => sum + effect[k] ** 2, 0));
  const scatter = scatterOf(normal, order, predictions, means);
  addRegulated(scatter, normal, order, condensing_K(machine, at.dischargePressure_Pa));
  const relation = predictions.map(({ relationVariance }) => relationVariance);
  const degreesOfFreedom = order.map((quantity, k) => {
    // Welch and Satterthwaite: what differs from day to day is taken as known.
    const own = predictions[k].noiseVariance + relation[k];
    const total = scatter[k * (order.length + 1)] + relation[k] + daily[k];
    return normal.relations[quantity]!.degreesOfFreedom * (total / own) ** 2;
  });
  const departures: PlateauDepartures['departures'] = {};
  order.forEach((quantity, k) => {
    const variance = scatter[k * (order.length + 1)] + relation[k] + daily[k];
    departures[quantity] = {
      value: value[quantity],
      expected: predictions[k].value * normal.reference[quantity]!,
      z: difference[k] / Math.sqrt(variance),
    };
  });
  return {
    plateau,
    at,
    point,
    order,
    difference,
    scatter,
    relation,
    common,
    degreesOfFreedom,
    departures,
  };
}

/** Band over the condensing temperature under which a flow may be throttled, K, and by what share for each kelvin. Judgement, no source. */
const band_K = 0.5;
const throttled_K = 0.3;

/**
 * A condenser's flow is often regulated: it is full until condensing would fall too low, and less beyond. Where condensing is
 * as low as where normal running was throttled, or lower than it ever was, normal running does not tell what the flow is. Too little flow raises
 * condensing, and is judged as ever.
 */
function addRegulated(
  scatter: Float64Array,
  { throttledUnder_K: under_K }: CircuitNormal,
  order: readonly NormalQuantity[],
  condensing: number,
): void {
  const k = order.indexOf('condenserFlow_m3_s');
  if (k < 0 || under_K === undefined || under_K === null) return;
  const beyond_K = under_K + band_K - condensing;
  if (beyond_K > 0) scatter[k * (order.length + 1)] += (throttled_K * beyond_K) ** 2;
}

function scatterOf(
  normal: CircuitNormal,
  order: readonly NormalQuantity[],
  predictions: readonly Prediction[],
  means: Float64Array,
): Float64Array {
  const p = order.length;
  const size = normal.order.length;
  const place = order.map((quantity) => normal.order.indexOf(quantity));
  const scatter = new Float64Array(p * p);
  for (let a = 0; a < p; a++)
    for (let b = 0; b < p; b++) {
      const noise = Math.sqrt(predictions[a].noiseVariance * predictions[b].noiseVariance);
      scatter[a * p + b] = normal.correlation[place[a] * size + place[b]] * noise + means[a * p + b];
    }
  return scatter;
}

/** Differences from normal if the channels read otherwise: quantities and operating point both move. */
export function differencesAt(
  machine: Machine,
  normal: CircuitNormal,
  at: ChannelValues,
  order: readonly NormalQuantity[],
): number[] {
  const point = pointOf(machine, at, normal.point);
  const row = basis(point);
  const value = quantityValues(machine, at);
  return order.map((quantity) => {
    const { coefficients } = normal.relations[quantity]!;
    return value[quantity] / normal.reference[quantity]! - innerProduct(row, coefficients);
  });
}

/** Condensing that lies within so many of its own standard deviations was seen while normal was learned. */
const seen = 2;

/** What an unread coolant may have moved: nothing where it is read, or where condensing is as it was at the same load. */
function coolantOf(
  machine: Machine,
  normal: CircuitNormal,
  at: ChannelValues,
  point: readonly number[],
): ChannelMoves[] {
  const off_K = condensingBeyond_K(machine, normal, at, point);
  return off_K === null ? [] : unreadCoolant(machine, at, off_K, normal.point.used.includes('condensing'));
}

/** By how much condensing lies beyond what was seen at the same load while normal was learned, K; null where its coolant is read. */
export function condensingBeyond_K(
  machine: Machine,
  { condensing }: CircuitNormal,
  at: ChannelValues,
  point: readonly number[],
): number | null {
  if (condensing === undefined || condensing === null) return null;
  const off_K = condensing_K(machine, at.dischargePressure_Pa) - predict(condensing, point).value;
  return Math.max(0, Math.abs(off_K) - seen * condensing.noise);
}

/** What differs from day to day, and the uncertainty of each channel's mean, by finite differences of the whole comparison. */
function fromChannels(
  machine: Machine,
  normal: CircuitNormal,
  plateau: Plateau,
  at: ChannelValues,
  point: readonly number[],
  order: readonly NormalQuantity[],
  difference: readonly number[],
): { common: number[][]; means: Float64Array } {
  const p = order.length;
  const means = new Float64Array(p * p);
  if (p === 0) return { common: [], means };
  const common = [...dayToDay(machine, at), ...coolantOf(machine, normal, at, point)].map((moves) =>
    effectOf(machine, normal, at, order, difference, moves),
  );
  channels.forEach((channel, k) => {
    const number = plateau.values[channel];
    const step = number ? repeatability(channel, number.value) : 0;
    if (!number || !(step > 0)) return;
    // Scatter within the plateau is already in the machine's own as far as it is usual; what is more comes on top.
    const share = Math.min(number.uncertainty / step, 20) ** 2;
    const moved = common[k];
    for (let a = 0; a < p; a++) for (let b = 0; b < p; b++) means[a * p + b] += share * (moved[a] * moved[b]);
  });
  return { common, means };
}

/** Change of the differences when channels read otherwise by these moves; what is not finite is passed over. */
export function effectOf(
  machine: Machine,
  normal: CircuitNormal,
  at: ChannelValues,
  order: readonly NormalQuantity[],
  difference: readonly number[],
  moves: ChannelMoves,
): number[] {
  let moved: ChannelValues | null = null;
  for (const channel of Object.keys(moves) as Channel[]) {
    const by = moves[channel]!;
    if (by === 0 || !Number.isFinite(at[channel] + by)) continue;
    moved ??= { ...at };
    moved[channel] += by;
  }
  const change = new Array<number>(order.length).fill(0);
  if (moved === null) return change;
  const there = differencesAt(machine, normal, moved, order);
  for (let k = 0; k < change.length; k++) {
    const by = there[k] - difference[k];
    if (Number.isFinite(by)) change[k] = by;
  }
  return change;
}
