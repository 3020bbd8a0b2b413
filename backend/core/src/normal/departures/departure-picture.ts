import type { CircuitNormal } from '../learning/circuit-normal.js';
import { predict } from '../learning/learned-relation.js';
import type { Plateau } from '../plateaus/find-plateaus.js';
import type { Machine } from '../quantities/machine.js';
import { predictorValue, type Predictor } from '../quantities/operating-point.js';
import type { NormalQuantity } from '../quantities/quantities.js';
import { departuresOf, type PlateauDepartures } from './departures.js';

/** Plateaus as dots: when, where on the predictor, and the quantity there. */
export interface DepartureDots {
  time_s: number[];
  x: number[];
  value: number[];
}

/** One quantity over its predictor: the band of normal, what was seen while it was learned, and what is seen now. */
export interface DepartureCurve {
  quantity: NormalQuantity;
  /** Mean departure of the plateaus of now, in standard uncertainties. */
  z: number;
  /** Expected along the predictor, with the range in which 19 of 20 normal plateaus lie. */
  band: { x: number[]; expected: number[]; low: number[]; high: number[] };
  then: DepartureDots;
  now: DepartureDots;
}

export interface DeparturePicture {
  /** Null: nothing that conditions depend on is known, so that the quantities stand over no predictor. */
  predictor: Predictor | null;
  curves: DepartureCurve[];
}

const bandPoints = 25;
/** Two standard deviations: about 19 of 20. */
const range = 2;

/**
 * The quantities that depart most, each over the first predictor of the operating point (the load, where it is known).
 * Values of other conditions are brought to those of now by the learned relations, so that only the predictor moves the
 * band, and a dot lies as far off it as its plateau does. On the scale of comparison: kelvin and percent as they are,
 * flows, powers and openings as a share of their highest usual value.
 */
export function departurePicture(
  machine: Machine,
  normal: CircuitNormal,
  then: readonly Plateau[],
  now: readonly Plateau[],
  most = 3,
): DeparturePicture {
  const compared = (plateaus: readonly Plateau[]) =>
    plateaus
      .map((plateau) => departuresOf(machine, normal, plateau))
      .filter(({ point }) => point.every(Number.isFinite));
  const [before, since] = [compared(then), compared(now)];
  if (since.length === 0) return { predictor: null, curves: [] };
  const centre = normal.point.used.map((_, k) => mean(since.map(({ point }) => point[k])));
  const curves = normal.order
    .map((quantity) => ({ quantity, z: mean(since.flatMap((one) => one.departures[quantity]?.z ?? [])) }))
    .filter(({ z }) => Number.isFinite(z))
    .sort((a, b) => Math.abs(b.z) - Math.abs(a.z))
    .slice(0, most)
    .map(({ quantity, z }): DepartureCurve => ({
      quantity,
      z,
      band: bandOf(normal, quantity, centre, [...before, ...since]),
      then: dotsOf(normal, quantity, centre, before),
      now: dotsOf(normal, quantity, centre, since),
    }));
  return { predictor: normal.point.used[0] ?? null, curves };
}

const mean = (values: readonly number[]): number =>
  values.reduce((sum, value) => sum + value, 0) / values.length;

/** The first predictor as it is, all others as they are now. */
const along = (centre: readonly number[], first: number): number[] =>
  centre.map((value, k) => (k === 0 ? first : value));

function bandOf(
  { relations, point }: CircuitNormal,
  quantity: NormalQuantity,
  centre: readonly number[],
  all: readonly PlateauDepartures[],
): DepartureCurve['band'] {
  const firsts = all.map((one) => one.point[0] ?? 0);
  const [low, high] = [Math.min(...firsts), Math.max(...firsts)];
  const band: DepartureCurve['band'] = { x: [], expected: [], low: [], high: [] };
  for (let k = 0; k < bandPoints; k++) {
    const first = low + ((high - low) * k) / (bandPoints - 1);
    const { value, relationVariance, noiseVariance } = predict(relations[quantity]!, along(centre, first));
    const half = range * Math.sqrt(relationVariance + noiseVariance);
    band.x.push(predictorValue(point, 0, first));
    band.expected.push(value);
    band.low.push(value - half);
    band.high.push(value + half);
  }
  return band;
}

function dotsOf(
  { relations, point }: CircuitNormal,
  quantity: NormalQuantity,
  centre: readonly number[],
  all: readonly PlateauDepartures[],
): DepartureDots {
  const dots: DepartureDots = { time_s: [], x: [], value: [] };
  for (const one of all) {
    const place = one.order.indexOf(quantity);
    if (place < 0) continue;
    const first = one.point[0] ?? 0;
    dots.time_s.push(one.plateau.from_s);
    dots.x.push(predictorValue(point, 0, first));
    dots.value.push(predict(relations[quantity]!, along(centre, first)).value + one.difference[place]);
  }
  return dots;
}
