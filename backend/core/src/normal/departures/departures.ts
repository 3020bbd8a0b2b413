import { Matrix } from 'ml-matrix';
import type { Channel } from '../plateaus/channels.js';
import type { CircuitNormal } from '../learning/circuit-normal.js';
import { basis, predict, type Prediction } from '../learning/learned-relation.js';
import type { Machine } from '../quantities/machine.js';
import { pointOf } from '../quantities/operating-point.js';
import type { Plateau } from '../plateaus/find-plateaus.js';
import {
  channelValues,
  dayToDay,
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
  /** Quantities that could be judged on it. */
  order: NormalQuantity[];
  difference: number[];
  /** Scatter of one plateau: of the machine about its normal, and of the plateau's own means. */
  scatter: Matrix;
  /** Of the learned relations, by quantity (they are learned one by one). */
  relation: number[];
  /** Of the instruments, and of flows that nobody holds, from day to day: the same on all plateaus of a day. */
  instruments: Matrix;
  degreesOfFreedom: number[];
  departures: Partial<Record<NormalQuantity, Departure>>;
}

/**
 * Differences of one plateau from the learned normal. Their covariance has three parts: the machine's own scatter about
 * its relations, with the correlation that it was seen to have; the relations' uncertainty at this operating point,
 * which grows towards the corners of what was learned and beyond; and the instruments', through the quantities they
 * enter, so that a pressure that reads otherwise today is expected to move approach and subcooling together.
 */
export function departuresOf(machine: Machine, normal: CircuitNormal, plateau: Plateau): PlateauDepartures {
  const at = channelValues(plateau.values);
  const point = pointOf(at, normal.point);
  const usable = point.every(Number.isFinite);
  const value = quantityValues(machine, at);
  const order = usable ? normal.order.filter((quantity) => Number.isFinite(value[quantity])) : [];
  const predictions = order.map((quantity) => predict(normal.relations[quantity]!, point));
  const difference = order.map(
    (quantity, k) => value[quantity] / normal.reference[quantity]! - predictions[k].value,
  );
  const { instruments, means } = fromChannels(machine, normal, plateau, at, order, difference);
  const scatter = scatterOf(normal, order, predictions).add(means);
  const relation = predictions.map(({ relationVariance }) => relationVariance);
  const degreesOfFreedom = order.map((quantity, k) => {
    // Welch and Satterthwaite: the instruments' part is taken as known.
    const own = predictions[k].noiseVariance + relation[k];
    const total = scatter.get(k, k) + relation[k] + instruments.get(k, k);
    return normal.relations[quantity]!.degreesOfFreedom * (total / own) ** 2;
  });
  const departures: PlateauDepartures['departures'] = {};
  order.forEach((quantity, k) => {
    const variance = scatter.get(k, k) + relation[k] + instruments.get(k, k);
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
    instruments,
    degreesOfFreedom,
    departures,
  };
}

function scatterOf(
  normal: CircuitNormal,
  order: readonly NormalQuantity[],
  predictions: readonly Prediction[],
): Matrix {
  const p = order.length;
  const size = normal.order.length;
  const place = order.map((quantity) => normal.order.indexOf(quantity));
  const matrix = Matrix.zeros(p, p);
  for (let a = 0; a < p; a++)
    for (let b = 0; b < p; b++)
      matrix.set(
        a,
        b,
        normal.correlation[place[a] * size + place[b]] *
          Math.sqrt(predictions[a].noiseVariance * predictions[b].noiseVariance),
      );
  return matrix;
}

/** Differences from normal if the channels read otherwise: quantities and operating point both move. */
export function differencesAt(
  machine: Machine,
  normal: CircuitNormal,
  at: ChannelValues,
  order: readonly NormalQuantity[],
): number[] {
  const point = pointOf(at, normal.point);
  const row = basis(point);
  const value = quantityValues(machine, at);
  return order.map((quantity) => {
    const { coefficients } = normal.relations[quantity]!;
    const expected = row.reduce((sum, x, k) => sum + x * coefficients[k], 0);
    return value[quantity] / normal.reference[quantity]! - expected;
  });
}

/** What the uncertainty of each channel does to the differences, by finite differences of the whole comparison. */
function fromChannels(
  machine: Machine,
  normal: CircuitNormal,
  plateau: Plateau,
  at: ChannelValues,
  order: readonly NormalQuantity[],
  difference: readonly number[],
): { instruments: Matrix; means: Matrix } {
  const p = order.length;
  const instruments = Matrix.zeros(p, p);
  const means = Matrix.zeros(p, p);
  if (p === 0) return { instruments, means };
  order.forEach((quantity, a) => instruments.set(a, a, dayToDay(quantity) ** 2));
  for (const channel of Object.keys(plateau.values) as Channel[]) {
    const number = plateau.values[channel]!;
    const step = repeatability(channel, number.value);
    if (!(step > 0)) continue;
    const effect = channelEffect(machine, normal, at, order, difference, channel, step);
    if (effect === null) continue;
    // Scatter within the plateau is already in the machine's own as far as it is usual; what is more comes on top.
    const share = Math.min(number.uncertainty / step, 20) ** 2;
    for (let a = 0; a < p; a++)
      for (let b = 0; b < p; b++) {
        const product = effect[a] * effect[b];
        instruments.set(a, b, instruments.get(a, b) + product);
        means.set(a, b, means.get(a, b) + share * product);
      }
  }
  return { instruments, means };
}

/** Change of the differences when a channel reads `step` more; null where it changes nothing that is judged. */
export function channelEffect(
  machine: Machine,
  normal: CircuitNormal,
  at: ChannelValues,
  order: readonly NormalQuantity[],
  difference: readonly number[],
  channel: Channel,
  step: number,
): number[] | null {
  const moved = differencesAt(machine, normal, { ...at, [channel]: at[channel] + step }, order);
  const effect = moved.map((value, k) => (Number.isFinite(value) ? value - difference[k] : 0));
  return effect.some((value) => value !== 0) ? effect : null;
}
