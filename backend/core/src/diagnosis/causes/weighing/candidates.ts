import { Matrix } from 'ml-matrix';
import { differencesAt, effectOf, type PlateauDepartures } from '../../../normal/departures/departures.js';
import { meanDeparturesOfGroups, type MeanDepartures } from '../../../normal/departures/mean-departures.js';
import { distanceOverLimit, neighbours } from '../../../normal/departures/looks.js';
import type { CircuitNormal } from '../../../normal/learning/circuit-normal.js';
import { channels, type Channel } from '../../../normal/plateaus/channels.js';
import { toFullFans } from '../../../normal/quantities/fans.js';
import type { Machine } from '../../../normal/quantities/machine.js';
import {
  condenserEntering_K,
  condensing_K,
  evaporating_K,
  quantityFacts,
  type ChannelValues,
  type NormalQuantity,
} from '../../../normal/quantities/quantities.js';
import type { CausePattern } from '../patterns/cause-pattern.js';
import type { ChannelMoves } from '../../../normal/quantities/day-to-day.js';
import { pressureMove } from '../patterns/pattern-state.js';
import { physicalPatterns } from '../patterns/physical-patterns.js';
import { sensorPatterns } from '../patterns/sensor-patterns.js';

/** A pattern with what one unit of its severity does to the differences from normal, and how unsure that is. */
export interface Candidate {
  pattern: CausePattern;
  moved: number[];
  /** Covariance of the effect at one unit of severity; null where it is exact. */
  spread: Matrix | null;
}

/** What is to be explained: mean differences at low and at high load one after the other, or of all plateaus together. */
export interface ToExplain {
  mean: MeanDepartures;
  candidates: Candidate[];
}

/** Loads are looked at apart from so many plateaus on, and where they lie at least that far apart, in full load. */
const leastPlateaus = 6;
const leastApart = 0.15;
/** One unit of the load as a predictor, in full load (`operating-point.ts`). */
const loadUnit = 0.25;
/** Correlation of a doubt of a pattern between low and high load: most of it is the machine's, the rest how it goes with load. */
const alike = 0.6;
/** What the patterns leave out: each effect is uncertain by this share, whatever else is said of it. */
const ownError = 0.15;
/**
 * And any quantity may move along by this share of the root mean square of all effects, each in usual scatters. Not of the
 * largest: a meter that sees a fifth less flow is forty scatters off, and that tells nothing of how well the rest is known. Without the
 * flows in the mean square, faults of one circuit were told as a fouled condenser of the next as well.
 */
const besides = 0.1;

/**
 * The departures of some plateaus with all patterns that could explain them, worked out at the mean state of each group
 * of loads. Null where nothing could be compared.
 */
export function toExplain(
  machine: Machine,
  normal: CircuitNormal,
  all: readonly PlateauDepartures[],
): ToExplain | null {
  return explainedBy(machine, normal, loadGroups(normal, sinceOnset(normal, all)));
}

/** The same of plateaus in groups, such as those at low and at high load. */
export function explainedBy(
  machine: Machine,
  normal: CircuitNormal,
  groups: readonly (readonly PlateauDepartures[])[],
): ToExplain | null {
  const compared = meanDeparturesOfGroups(normal, groups);
  if (compared === null) return null;
  const mean = normal.likeUnits === undefined ? compared : asPoorlyKnown(compared);
  const states = groups.map(meanChannels);
  const sound = states.map((at) =>
    expectedChannels(machine, normal, at, mean.order, differencesAt(machine, normal, at, mean.order)),
  );
  const bases = sound.map((at) => differencesAt(machine, normal, at, mean.order));
  const effect = (moves: ChannelMoves, g: number) =>
    effectOf(machine, normal, sound[g], mean.order, bases[g], moves);
  const reference = meanOf(sound);
  const ofGroups = sound.map((at) => [
    ...physicalPatterns(machine, at, reference, normal.fansPerKelvin ?? null),
    ...sensorPatterns(at, reference, machine),
  ]);
  const candidates = ofGroups[0].flatMap((pattern) => {
    const alikeIn = ofGroups.map((patterns) => patterns.find((one) => isSame(one, pattern)));
    const moved = alikeIn.flatMap((one, g) => effect(one?.moves ?? {}, g));
    if (moved.every((value) => value === 0)) return [];
    return [{ pattern, moved, spread: spreadOf(alikeIn, effect, moved, mean.order) }];
  });
  return { mean, candidates };
}

/**
 * How units differ, known from few of them, has Student's t: patterns are weighed by normal errors, which are given its variance,
 * degrees over degrees less two, so that a belief is no surer than the spread between units allows.
 */
function asPoorlyKnown(mean: MeanDepartures): MeanDepartures {
  const wider = mean.degreesOfFreedom.map((degrees) =>
    degrees > 3 ? Math.sqrt(degrees / (degrees - 2)) : 3,
  );
  const covariance = mean.covariance.clone();
  wider.forEach((a, k) => wider.forEach((b, m) => covariance.set(k, m, a * b * covariance.get(k, m))));
  return { ...mean, covariance };
}

/**
 * Plateaus just before a sudden onset are over their limit through their neighbours alone, and would thin out the departure
 * and spoil how it goes with the load. Where most later plateaus are over the limit by themselves, the first ones that are not
 * are left out.
 */
function sinceOnset(
  normal: CircuitNormal,
  several: readonly PlateauDepartures[],
): readonly PlateauDepartures[] {
  const alone = several.map((one) => {
    const mean = meanDeparturesOfGroups(normal, [[one]]);
    return mean !== null && distanceOverLimit(normal, mean) > normal.limit;
  });
  const later = alone.slice(neighbours);
  if (later.filter(Boolean).length <= 0.5 * later.length) return several;
  const onset = alone.indexOf(true);
  return onset > neighbours ? several : several.slice(onset);
}

const isSame = (a: CausePattern, b: CausePattern): boolean =>
  a.cause === b.cause && a.form === b.form && a.channel === b.channel;

/** Plateaus at low and at high load, where enough of both were seen; else all together. */
function loadGroups(normal: CircuitNormal, several: readonly PlateauDepartures[]): PlateauDepartures[][] {
  const place = normal.point.used.indexOf('load');
  if (place < 0 || several.length < leastPlateaus) return [[...several]];
  const load = (one: PlateauDepartures) => one.point[place] * loadUnit;
  const sorted = [...several].sort((a, b) => load(a) - load(b));
  const half = Math.floor(sorted.length / 2);
  const parts = [sorted.slice(0, half), sorted.slice(half)];
  const [low, high] = parts.map((part) => part.reduce((sum, one) => sum + load(one), 0) / part.length);
  return high - low >= leastApart ? parts : [[...several]];
}

/** Mean channels over the plateaus. */
const meanChannels = (several: readonly PlateauDepartures[]): ChannelValues =>
  meanOf(several.map(({ at }) => at));

/** Mean of each channel, of the finite values. */
function meanOf(all: readonly ChannelValues[]): ChannelValues {
  return Object.fromEntries(
    channels.map((channel) => {
      const values = all.map((at) => at[channel]).filter(Number.isFinite);
      return [
        channel,
        values.length === 0 ? NaN : values.reduce((sum, value) => sum + value, 0) / values.length,
      ];
    }),
  ) as ChannelValues;
}

/**
 * The state as it would be at the same operating point if nothing were wrong: what a fault does is worked out from there.
 * Where subcooling is lost already, the liquid that is left would say that little can be missing.
 */
function expectedChannels(
  machine: Machine,
  normal: CircuitNormal,
  at: ChannelValues,
  order: readonly NormalQuantity[],
  off: readonly number[],
): ChannelValues {
  const by = (quantity: NormalQuantity) => {
    const place = order.indexOf(quantity);
    const own = place < 0 ? 0 : off[place] * normal.reference[quantity]!;
    return Number.isFinite(own) ? own : 0;
  };
  const approach = by('condenserApproach_K') / toFullFans(machine, at);
  const evaporator = by('evaporatorApproach_K');
  const waterFlow_m3_s = at.waterFlow_m3_s - by('evaporatorFlow_m3_s');
  const condenserFlow_m3_s = at.condenserFlow_m3_s - by('condenserFlow_m3_s');
  // The same heat in the flow that is expected: each water changes by that much less or more.
  const times = (own: number, expected: number) => (own / expected > 0 ? own / expected : 1);
  const change =
    (at.enteringWaterTemperature_K - at.leavingWaterTemperature_K) * times(at.waterFlow_m3_s, waterFlow_m3_s);
  const warmed = at.condenserLeavingTemperature_K - condenserEntering_K(machine, at);
  const cooler = warmed * (1 - times(at.condenserFlow_m3_s, condenserFlow_m3_s));
  const colder = approach + (Number.isFinite(cooler) ? cooler : 0);
  const condensing = condensing_K(machine, at.dischargePressure_Pa);
  const evaporating = evaporating_K(machine, at.suctionPressure_Pa);
  const moved = (pressure_Pa: number, saturation_K: number, kelvin: number) =>
    pressure_Pa + pressureMove(machine, pressure_Pa, saturation_K, kelvin);
  return {
    ...at,
    dischargePressure_Pa: moved(at.dischargePressure_Pa, condensing, -colder),
    suctionPressure_Pa: moved(at.suctionPressure_Pa, evaporating, evaporator),
    liquidTemperature_K: at.liquidTemperature_K - colder + by('subcooling_K'),
    suctionTemperature_K: at.suctionTemperature_K + evaporator - by('superheat_K'),
    dischargeTemperature_K: at.dischargeTemperature_K - colder - by('dischargeSuperheat_K'),
    enteringWaterTemperature_K: at.leavingWaterTemperature_K + change,
    condenserLeavingTemperature_K: at.condenserLeavingTemperature_K - cooler,
    condenserFlow_m3_s,
    waterFlow_m3_s,
    compressorPower_W: at.compressorPower_W - by('compressorPower_W'),
    valveOpening_pct: at.valveOpening_pct - by('valveOpening_pct'),
  };
}

/** Covariance of a pattern's effects: its doubts, mostly alike at all loads, and what patterns leave out. None of a sensor's alone. */
function spreadOf(
  alikeIn: readonly (CausePattern | undefined)[],
  effect: (moves: ChannelMoves, g: number) => number[],
  moved: readonly number[],
  order: readonly NormalQuantity[],
): Matrix | null {
  const [pattern] = alikeIn;
  if (pattern?.cause === 'sensor-wrong' && pattern.form === undefined) return null;
  const size = moved.length;
  const p = order.length;
  const spread = Matrix.zeros(size, size);
  const doubts = [
    ...(Object.keys(pattern?.doubts ?? {}) as Channel[]).map((channel) =>
      alikeIn.flatMap((one, g) => effect({ [channel]: one?.doubts[channel] ?? 0 }, g)),
    ),
    ...(pattern?.jointDoubts ?? []).map((_, k) =>
      alikeIn.flatMap((one, g) => effect(one?.jointDoubts?.[k] ?? {}, g)),
    ),
  ];
  for (const doubt of doubts) {
    for (let a = 0; a < size; a++)
      for (let b = 0; b < size; b++) {
        const together = Math.floor(a / p) === Math.floor(b / p) ? 1 : alike;
        spread.set(a, b, spread.get(a, b) + together * (doubt[a] * doubt[b]));
      }
  }
  const usual = moved.map((_, a) => quantityFacts[order[a % p]].usual);
  const typical = Math.sqrt(moved.reduce((sum, value, a) => sum + (value / usual[a]) ** 2, 0) / moved.length);
  for (let a = 0; a < size; a++)
    for (let b = a % p; b < size; b += p) {
      const left = ownError ** 2 * (moved[a] * moved[b]) + (besides * typical) ** 2 * (usual[a] * usual[b]);
      spread.set(a, b, spread.get(a, b) + (a === b ? 1 : alike) * left);
    }
  return spread;
}
