import {
  bilinearForm,
  choleskyRoot,
  inverseByRoot,
  squaredDistanceQuantile,
  studentQuantile,
} from '../../numerics/index.js';
import type { PlateauDepartures } from './departures.js';
import type { MeanDepartures } from './mean-departures.js';
import { atLoads } from './signatures.js';
import type { CircuitNormal } from '../learning/circuit-normal.js';

/** Share of normal plateaus over the limit. */
export const falseAlarmRate = 0.01;
/**
 * Of these, a tenth by how far off a plateau is alone: what lasts shows in the mean of many, where a slight fault has to be
 * seen; what is off on one plateau is seldom slight.
 */
const aloneRate = 0.001;
/**
 * What is none of the usual faults is looked for, by all departures together and by the largest single one, at this share of
 * the rate each: such departures are seldom slight. Judgement, no source.
 */
const anythingElse = 0.3;
/** No fault is looked for with less than this share of the rate of all: what a share is worked out from is not known that well. Judgement, no source. */
const leastShare = 0.01;
/** A plateau is looked at by itself and together with this many on either side. */
export const neighbours = 12;
/** How one set of departures is looked at: what its statistics are divided by. */
export interface Look {
  deviations: number[];
  /** Inverse covariance, row by row; empty where there is no `limit`. */
  precision: Float64Array;
  /** Limit of the squared Mahalanobis distance; null where only the usual faults are looked for. */
  limit: number | null;
  /** Limit of each quantity's departure, in its standard deviations. */
  limits: number[];
  /** What the usual faults are looked for by, each over its standard deviation and limit, one after the other. */
  forms: Float64Array;
}

/**
 * Limits of one look: of the squared Mahalanobis distance by F, of the largest departure by Student's t for their number
 * (Sidak), each at a part of the false alarm rate, and of each form of a usual fault (upwards alone) by Student's t at its share of
 * that rate, all with the degrees of freedom left to learn the noise. The means at several loads are looked at for the usual faults alone; the mean over all
 * loads is then not looked at for them besides, as theirs contain it.
 */
export function lookOf(
  normal: CircuitNormal,
  { order, covariance, degreesOfFreedom, plateaus }: MeanDepartures,
  forUsualFaults = true,
): Look {
  const rate = plateaus === 1 ? aloneRate : falseAlarmRate;
  const size = degreesOfFreedom.length;
  const groups = size / order.length;
  const harmonic = Math.max(2, size / degreesOfFreedom.reduce((sum, value) => sum + 1 / value, 0));
  const otherRate = anythingElse * rate;
  const single = ofEach(otherRate, size);
  const { together = [], byLoad = [], shares } = (forUsualFaults && normal.signatures) || {};
  const [forms, share] = groups === 1 ? [together, shares?.together] : [byLoad, shares?.byLoad];
  const flat = covariance.to1DArray();
  const places = order.map((quantity) => normal.order.indexOf(quantity));
  const highest = formLimits(forms, share, rate, harmonic);
  return {
    deviations: covariance.diag().map(Math.sqrt),
    precision: new Float64Array(groups > 1 ? [] : inverseByRoot(choleskyRoot(flat, size), size)),
    limit: groups > 1 ? null : squaredDistanceQuantile(1 - otherRate, size, harmonic),
    limits: groups > 1 ? [] : degreesOfFreedom.map((degrees) => studentQuantile(1 - single / 2, degrees)),
    forms: new Float64Array(
      forms.flatMap((weights, k) => {
        const own: number[] = [];
        for (let g = 0; g < groups; g++)
          for (const place of places) own.push(weights[g * normal.order.length + place]);
        const deviation = Math.sqrt(bilinearForm(flat, own, own));
        return deviation > 0 ? own.map((weight) => weight / deviation / highest[k]) : [];
      }),
    ),
  };
}

/** What was worked out for the forms of a normal, by rate and degrees of freedom: quantiles of Student's t take a while. */
const known = new WeakMap<number[][], Map<string, number[]>>();

/** Limit of each form, in its standard deviations; the degrees of freedom count to three digits. */
function formLimits(
  forms: number[][],
  shares: readonly number[] | undefined,
  rate: number,
  degrees: number,
): number[] {
  const own = known.get(forms) ?? new Map<string, number[]>();
  known.set(forms, own);
  const rounded = Number(degrees.toPrecision(3));
  const key = `${rate} ${rounded}`;
  const limits =
    own.get(key) ??
    forms.map((_, k) => {
      const share = Math.max(leastShare, shares?.[k] ?? 1 / forms.length);
      return studentQuantile(1 - ofEach(rate, 1 / share), rounded);
    });
  own.set(key, limits);
  return limits;
}

/** Rate of each of so many looks at which all together have the given one, if they are independent. */
const ofEach = (rate: number, looks: number): number => 1 - (1 - rate) ** (1 / looks);

/** The largest of Mahalanobis distance, single departure and usual fault, each over its limit. */
export function measure(
  { deviations, precision, limit, limits, forms }: Look,
  difference: Float64Array,
): number {
  const size = difference.length;
  let largest = 0;
  for (let first = 0; first < forms.length; first += size) {
    let sum = 0;
    for (let a = 0; a < size; a++) sum += forms[first + a] * difference[a];
    if (sum > largest) largest = sum;
  }
  if (limit === null) return largest;
  for (let a = 0; a < size; a++)
    largest = Math.max(largest, Math.abs(difference[a]) / deviations[a] / limits[a]);
  const squared = bilinearForm(precision, difference, difference);
  return Math.max(largest, Math.sqrt(Math.max(0, squared) / limit));
}

/** How far one set of departures is off, over its limit. */
export const distanceOverLimit = (
  normal: CircuitNormal,
  mean: MeanDepartures,
  forUsualFaults = true,
): number => measure(lookOf(normal, mean, forUsualFaults), new Float64Array(mean.difference));

/** The plateaus near one at low, middle and high load; null where they are not enough for that. */
export function nearByLoad<One extends Pick<PlateauDepartures, 'point'>>(
  { point, signatures }: Pick<CircuitNormal, 'point' | 'signatures'>,
  near: readonly One[],
): One[][] | null {
  if (!signatures || signatures.byLoad.length === 0) return null;
  return atLoads(point, signatures.edges, near, leastAtLoad);
}

/** With one plateau each, three loads tell how a departure goes with the load. */
const leastAtLoad = 1;
