import { saturationCurve, saturationSlope_K_Pa } from '../../refrigerants/index.js';
import { medianOf } from '../running/running-state.js';
import type { SettledStandstill } from './standstill.js';

export type SensorName =
  | 'suction-pressure'
  | 'discharge-pressure'
  | 'suction-temperature'
  | 'discharge-temperature'
  | 'liquid-temperature';

/** One instrument's reading of the temperature that all should share, as an interval: a blend's bubble to dew point. */
interface Thermometer {
  sensor: SensorName | 'water' | 'ambient';
  low_K: number;
  high_K: number;
  /** How far the reading and what the others agree on may be apart by the way they are sent, K. */
  within_K: number;
}

export interface Deviation {
  sensor: SensorName;
  /** Reading less what the others agree on, K; for a pressure, of its saturation temperature. */
  deviation_K: number;
  /** The same in pressure, Pa; null for a temperature sensor. */
  deviation_Pa: number | null;
  /** Standard uncertainty of the deviation, K. */
  uncertainty_K: number;
  /** How much of the deviation the way of sending alone may make, K. */
  within_K: number;
  /** What the others agree on, K, and how many they are. */
  agreed_K: number;
  agreeing: number;
  /** Set where only the other transducer contradicts this one, so that either of them may be wrong. */
  against?: SensorName;
  /** Of several standstills taken together: start of the first that showed it. */
  firstSeen_s?: number | undefined;
}

export interface Consensus {
  /** Deviations that are larger than their uncertainty allows, largest first; empty when all agree. */
  odd: Deviation[];
  /** All deviations of the circuit's own sensors, odd or not. */
  all: Deviation[];
  agreed_K: number;
  uncertainty_K: number;
}

/**
 * Water at rest in its exchanger and the ambient further apart than this: the circuit is not of one temperature, K. An
 * insulated shell full of water takes days to reach the room's, and hardly drifts meanwhile. Judgement, no source.
 */
const widestApart_K = 2;

/** Smallest deviations worth a word; uncertainties permitting. */
const leastPressure_Pa = 0.1e5;
const leastTemperature_K = 1;
/** Coverage factor for calling an instrument odd. */
const coverage = 2.5;

/**
 * In a circuit that has stood long enough every instrument reads one temperature: the pressures as saturation
 * temperatures, the sensors on pipes, water at rest, ambient. The one that differs from what most others agree on is
 * the wrong one, whether a pressure or a temperature.
 *
 * Agreement is the median; its uncertainty joins the scatter of the agreeing instruments (median absolute deviation
 * over root n), a time lag of 0.4 h at the drift seen, and 0.1 K for places that are never quite alike. Null where fewer
 * than three agree, where the agreeing are no majority, or where water at rest and the ambient show that there is no one
 * temperature yet.
 *
 * What can be so in a circuit that is in order is not odd: a reading between the water and the ambient, or on the high
 * side the condenser's water or air (a tower's pump may run through a stop); and a pressure
 * of an evaporator that may be colder than all thermometers because none is at it. Connected sides then read the
 * pressure of their coldest place.
 */
export function thermalConsensus(
  refrigerant: string,
  seen: SettledStandstill,
  shown: ShownWithin = {},
): Consensus | null {
  if (isUneven(seen, shown)) return null;
  const groups = groupsOf(refrigerant, seen).map((group) => withSending(refrigerant, seen, group, shown));
  const results = groups
    .map((group) => consensusOf(refrigerant, seen, group, shown))
    .filter((one) => one !== null);
  if (results.length === 0) return null;
  const widest = results.reduce((a, b) => (a.uncertainty_K >= b.uncertainty_K ? a : b));
  return {
    odd: results
      .flatMap(({ odd, all }) => odd.filter((one) => !mayBeSo(seen, one, all)))
      .sort((a, b) => Math.abs(b.deviation_K) - Math.abs(a.deviation_K)),
    all: results.flatMap((result) => result.all),
    agreed_K: widest.agreed_K,
    uncertainty_K: widest.uncertainty_K,
  };
}

/** Water at rest, where the evaporator is, and its surroundings; NaN where not sent, or where water flows. */
function surroundings({ pumpRunning, leavingWaterTemperature_K, ambientTemperature_K }: SettledStandstill) {
  return { water_K: pumpRunning ? NaN : leavingWaterTemperature_K, ambient_K: ambientTemperature_K };
}

function isUneven(seen: SettledStandstill, shown: ShownWithin): boolean {
  const { water_K, ambient_K } = surroundings(seen);
  return Math.abs(water_K - ambient_K) - (shown.water ?? 0) - (shown.ambient ?? 0) > widestApart_K;
}

/** Whether a deviation is what a circuit in order may show. */
function mayBeSo(seen: SettledStandstill, one: Deviation, all: readonly Deviation[]): boolean {
  const { water_K, ambient_K } = surroundings(seen);
  const condenser_K = one.sensor.startsWith('suction') ? NaN : (seen.condenserTemperature_K ?? NaN);
  const places = [water_K, ambient_K, condenser_K].filter(Number.isFinite);
  const read_K = one.agreed_K + one.deviation_K;
  const between =
    read_K >= Math.min(...places) - one.within_K && read_K <= Math.max(...places) + one.within_K;
  if (between || seen.pumpRunning || Number.isFinite(water_K) || one.against || one.deviation_K > 0)
    return between;
  const isLow = (sensor: SensorName) =>
    all.some((two) => two.sensor === sensor && exceeds(two, two.uncertainty_K) && two.deviation_K < 0);
  return (
    one.sensor === 'suction-pressure' || (one.sensor === 'discharge-pressure' && isLow('suction-pressure'))
  );
}

/** How far each reading may be from what was measured by the way it is sent, in its own unit. */
export type ShownWithin = Partial<Record<Thermometer['sensor'], number>>;

/**
 * What steps and deadbands may make of a difference. Thermometers of one coarse step round one temperature the same way,
 * so that what they agree on is off by up to half a step too: each reading's own part and the median of all.
 */
function withSending(
  refrigerant: string,
  seen: SettledStandstill,
  group: Thermometer[],
  shown: ShownWithin,
): Thermometer[] {
  const own = group.map(({ sensor, high_K }) => {
    if (!Number.isFinite(high_K) || !sensor.endsWith('pressure')) return shown[sensor] ?? 0;
    const pressure_Pa = sensor === 'suction-pressure' ? seen.suctionPressure_Pa : seen.dischargePressure_Pa;
    return (shown[sensor] ?? 0) * saturationSlope_K_Pa(refrigerant, pressure_Pa, 'dew');
  });
  const agreed = medianOf(own);
  return group.map((one, i) => ({ ...one, within_K: own[i] + agreed }));
}

function groupsOf(refrigerant: string, seen: SettledStandstill): Thermometer[][] {
  const dew = saturationCurve(refrigerant, 'dew').temperature;
  const bubble = saturationCurve(refrigerant, 'bubble').temperature;
  const saturation = (sensor: SensorName, pressure_Pa: number): Thermometer => {
    const high_K = dew(pressure_Pa);
    const low_K = bubble(pressure_Pa);
    return { sensor, low_K: Number.isFinite(low_K) ? low_K : high_K, high_K, within_K: 0 };
  };
  const plain = (sensor: Thermometer['sensor'], value_K: number): Thermometer => ({
    sensor,
    low_K: value_K,
    high_K: value_K,
    within_K: 0,
  });
  const low = saturation('suction-pressure', seen.suctionPressure_Pa);
  const high = saturation('discharge-pressure', seen.dischargePressure_Pa);
  const condenser = [
    plain('discharge-temperature', seen.dischargeTemperature_K),
    plain('liquid-temperature', seen.liquidTemperature_K),
    plain('ambient', seen.ambientTemperature_K),
  ];
  const water = plain('water', seen.leavingWaterTemperature_K);
  if (!seen.pumpRunning) {
    return [[low, high, plain('suction-temperature', seen.suctionTemperature_K), water, ...condenser]];
  }
  // Water that flows holds the evaporator at its own temperature; the rest of the circuit follows the room.
  const apart = Math.abs(seen.leavingWaterTemperature_K - seen.ambientTemperature_K) > 1;
  const evaporator = [low, water, plain('water', seen.enteringWaterTemperature_K)];
  // Between sides of unlike temperature refrigerant moves to the cold one, and the warm one keeps no liquid.
  return [evaporator, apart ? condenser : [high, ...condenser]];
}

function consensusOf(
  refrigerant: string,
  seen: SettledStandstill,
  group: Thermometer[],
  shown: ShownWithin,
): Consensus | null {
  const known = group.filter((one) => Number.isFinite(one.high_K));
  let agreeing = known;
  let agreed_K = NaN;
  let uncertainty_K = NaN;
  for (let round = 0; round < 6; round++) {
    // A blend's reading is an interval; its place nearest to the others counts.
    agreed_K = medianOf(agreeing.map((one) => (one.low_K + one.high_K) / 2));
    for (let k = 0; k < 3; k++) agreed_K = medianOf(agreeing.map((one) => nearest(one, agreed_K)));
    const spread = 1.4826 * medianOf(agreeing.map((one) => Math.abs(nearest(one, agreed_K) - agreed_K)));
    uncertainty_K = Math.hypot(spread / Math.sqrt(agreeing.length), 0.4 * seen.drift_K_h, 0.1);
    const kept = known.filter((one) => !isOdd(refrigerant, seen, one, agreed_K, uncertainty_K));
    if (kept.length < 3 || kept.length * 2 < known.length) return null;
    if (kept.length === agreeing.length && kept.every((one) => agreeing.includes(one))) break;
    agreeing = kept;
  }
  const all = known.flatMap((one) => {
    if (one.sensor === 'water' || one.sensor === 'ambient') return [];
    const deviation_K = nearest(one, agreed_K) === agreed_K ? 0 : deviationOf(one, agreed_K);
    const deviation: Deviation = {
      sensor: one.sensor,
      deviation_K,
      deviation_Pa: deviationInPressure(refrigerant, seen, one.sensor, agreed_K, deviation_K),
      uncertainty_K,
      within_K: one.within_K,
      agreed_K,
      agreeing: agreeing.length,
    };
    return [deviation];
  });
  const odd = all
    .filter((one) => exceeds(one, uncertainty_K))
    .map((one) => againstSoundSide(refrigerant, seen, all, one, uncertainty_K));
  const unequal = odd.some((one) => one.deviation_Pa !== null)
    ? null
    : unequalPressures(refrigerant, seen, all, shown);
  return { odd: unequal ? [...odd, unequal] : odd, all, agreed_K, uncertainty_K };
}

/**
 * A blend's pressure over its bubble point is off by at least the excess; by how much, the other side tells where it is
 * sound and at the same temperature.
 */
function againstSoundSide(
  refrigerant: string,
  seen: SettledStandstill,
  all: readonly Deviation[],
  one: Deviation,
  uncertainty_K: number,
): Deviation {
  if (one.deviation_Pa === null || one.deviation_Pa < 0) return one;
  const other = all.find((two) => two.deviation_Pa !== null && two.sensor !== one.sensor);
  if (!other || exceeds(other, uncertainty_K)) return one;
  const difference_Pa =
    (seen.suctionPressure_Pa - seen.dischargePressure_Pa) * (one.sensor === 'suction-pressure' ? 1 : -1);
  if (!(difference_Pa > one.deviation_Pa)) return one;
  const slope = saturationSlope_K_Pa(refrigerant, seen.suctionPressure_Pa, 'dew');
  return { ...one, deviation_Pa: difference_Pa, deviation_K: difference_Pa * slope };
}

/**
 * Between bubble and dew point a blend's own pressure leaves room for an error; but two sides of one temperature read
 * one pressure. Where they do not, the higher one is doubted: vapour with little liquid, as it stands in an idle circuit,
 * lies at the dew side. Marked by `against`.
 */
function unequalPressures(
  refrigerant: string,
  seen: SettledStandstill,
  all: readonly Deviation[],
  shown: ShownWithin,
): Deviation | null {
  const both = ['suction-pressure', 'discharge-pressure'].every((name) =>
    all.some((one) => one.sensor === name),
  );
  const difference_Pa = seen.suctionPressure_Pa - seen.dischargePressure_Pa;
  const within_Pa = (shown['suction-pressure'] ?? 0) + (shown['discharge-pressure'] ?? 0);
  if (!both || !(Math.abs(difference_Pa) - within_Pa > 1.001 * leastPressure_Pa)) return null;
  const sensor = difference_Pa > 0 ? 'suction-pressure' : 'discharge-pressure';
  const own = all.find((one) => one.sensor === sensor)!;
  const shown_Pa = Math.max(seen.suctionPressure_Pa, seen.dischargePressure_Pa);
  const deviation_K = Math.abs(difference_Pa) * saturationSlope_K_Pa(refrigerant, shown_Pa, 'dew');
  const within_K = within_Pa * saturationSlope_K_Pa(refrigerant, shown_Pa, 'dew');
  if (deviation_K - within_K <= coverage * own.uncertainty_K) return null;
  const against = difference_Pa > 0 ? 'discharge-pressure' : 'suction-pressure';
  return { ...own, deviation_K, deviation_Pa: Math.abs(difference_Pa), against };
}

const nearest = (one: Thermometer, value_K: number): number =>
  Math.min(one.high_K, Math.max(one.low_K, value_K));

const deviationOf = (one: Thermometer, agreed_K: number): number =>
  agreed_K < one.low_K ? one.low_K - agreed_K : agreed_K > one.high_K ? one.high_K - agreed_K : 0;

function deviationInPressure(
  refrigerant: string,
  seen: SettledStandstill,
  sensor: SensorName,
  agreed_K: number,
  deviation_K: number,
): number | null {
  if (!sensor.endsWith('pressure')) return null;
  const shown_Pa = sensor === 'suction-pressure' ? seen.suctionPressure_Pa : seen.dischargePressure_Pa;
  const side = deviation_K > 0 ? 'bubble' : 'dew';
  // Along the curve, not by its slope: an atmosphere too little is far on it.
  let pressure_Pa = shown_Pa;
  const curve = saturationCurve(refrigerant, side);
  for (let k = 0; k < 40; k++) {
    const off_K = curve.temperature(pressure_Pa) - agreed_K;
    if (!Number.isFinite(off_K)) return null;
    if (Math.abs(off_K) < 1e-4) break;
    pressure_Pa -= off_K / saturationSlope_K_Pa(refrigerant, pressure_Pa, side);
    if (!(pressure_Pa > curve.lowestPressure_Pa && pressure_Pa < curve.highestPressure_Pa)) return null;
  }
  return deviation_K === 0 ? 0 : shown_Pa - pressure_Pa;
}

function exceeds(deviation: Deviation, uncertainty_K: number): boolean {
  const whole_K = Math.abs(deviation.deviation_K);
  const beyond_K = whole_K - deviation.within_K;
  if (beyond_K <= coverage * uncertainty_K) return false;
  return deviation.deviation_Pa === null
    ? beyond_K >= leastTemperature_K
    : Math.abs(deviation.deviation_Pa) * (beyond_K / whole_K) >= leastPressure_Pa;
}

function isOdd(
  refrigerant: string,
  seen: SettledStandstill,
  one: Thermometer,
  agreed_K: number,
  uncertainty_K: number,
): boolean {
  const deviation_K = deviationOf(one, agreed_K);
  if (one.sensor === 'water' || one.sensor === 'ambient') {
    return Math.abs(deviation_K) - one.within_K > Math.max(leastTemperature_K, coverage * uncertainty_K);
  }
  const deviation_Pa = deviationInPressure(refrigerant, seen, one.sensor, agreed_K, deviation_K);
  const { sensor, within_K } = one;
  const whole = { sensor, deviation_K, deviation_Pa, uncertainty_K, within_K, agreed_K, agreeing: 0 };
  return exceeds(whole, uncertainty_K);
}
