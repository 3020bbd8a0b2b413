import { fitLinear, standardDeviation } from '../../numerics/index.js';
import type { ChannelValues } from './quantities.js';
import { condensing_K, coolant_K, waterHeat_W, type NormalQuantity } from './quantities.js';
import type { Machine } from './machine.js';

/** What a machine's behaviour depends on; which of them a machine is compared by is chosen once, from its normal running. */
export const predictors = [
  'load',
  'sink',
  'source',
  'unitHeat',
  'condensing',
  'setpoint',
  'fan',
  'evaporatorFlow',
  'condenserFlow',
] as const;
export type Predictor = (typeof predictors)[number];

/** Where the load is read from, in the order of preference. */
export const loadSources = ['water-heat', 'compressor-load', 'compressor-power', 'water-difference'] as const;
export type LoadSource = (typeof loadSources)[number];

/** How the operating point of a machine is read, and its scale: one unit is a large but usual change. */
export interface PointReading {
  loadSource: LoadSource | null;
  /** Load that counts as full: the highest usual one of normal running, in the unit of its source. */
  fullLoad: number;
  /** The highest usual heat that all circuits take from water that they share, W; left out where this is not used. */
  fullHeat?: number;
  used: Predictor[];
  /** Mean of each used predictor in normal running, before it is divided by its unit. */
  centre: number[];
}

/** A quarter of the load and of the unit's heat, 5 K of water or of condensing, 2 K of setpoint, a quarter of the fan speed, a tenth of a flow. */
const unitOf: Record<Predictor, number> = {
  load: 0.25,
  sink: 5,
  condensing: 5,
  source: 5,
  unitHeat: 0.25,
  setpoint: 2,
  fan: 25,
  evaporatorFlow: 0.1,
  condenserFlow: 0.1,
};

/**
 * A flow that varies by this share in normal running, beside what follows from the other conditions, is varied by the plant
 * and is part of the operating point; so is the heat of circuits that share their water, where the others do not go with this one.
 */
const varied = 0.04;
/**
 * Condensing that varied less than this, K, tells nothing of how the machine goes with it: what the others leave of it then is each machine's own
 * restlessness. Judgement, no source.
 */
const condensingVaried_K = 1;
const variesFreely: Partial<Record<Predictor, number>> = {
  unitHeat: varied,
  condensing: condensingVaried_K,
  evaporatorFlow: varied,
  condenserFlow: varied,
};

/**
 * Chooses what the operating point is from the plateaus of normal running: load from the water side where the water is
 * this circuit's own, else the compressor's load, its power or the water's temperature difference; what the condenser is
 * cooled by, or where nothing tells that, the condensing temperature itself: what then is warmer or colder than it was may be
 * the water, and all else is compared at the same condensing temperature; the leaving water; the heat of the whole unit where circuits share their water and do not all go alike: what
 * leaves a circuit then is mixed with what leaves the others, and a flow that follows the plant's load follows all of them;
 * setpoint, fan speed and flows where they were sent and vary. What is missing from a tenth of the plateaus or more is not
 * used.
 */
export function choosePoint(machine: Machine, points: readonly ChannelValues[]): PointReading {
  const enough = (of: (at: ChannelValues) => number) =>
    points.filter((at) => Number.isFinite(of(at))).length >= 0.9 * points.length;
  const loadSource =
    loadSources.find(
      (source) => (source !== 'water-heat' || machine.alone) && enough((at) => loadFrom(source, at)),
    ) ?? null;
  const loads = points
    .map((at) => (loadSource === null ? NaN : loadFrom(loadSource, at)))
    .filter(Number.isFinite);
  const fullLoad = loads.length === 0 ? 1 : Math.max(highOf(loads), 1e-9);
  const reading: PointReading = { loadSource, fullLoad, used: [], centre: [] };
  const shared = machine.alone ? [] : points.map(waterHeat_W).filter((heat) => heat > 0);
  if (shared.length > 0) reading.fullHeat = highOf(shared);
  for (const predictor of predictors) {
    const of = (at: ChannelValues) => raw(machine, predictor, at, reading);
    if (!enough(of) || (predictor === 'condensing' && reading.used.includes('sink'))) continue;
    const values = points.map(of).filter(Number.isFinite);
    const centre = values.reduce((sum, value) => sum + value, 0) / values.length;
    const spread = Math.sqrt(values.reduce((sum, value) => sum + (value - centre) ** 2, 0) / values.length);
    const least = variesFreely[predictor];
    if (least !== undefined && !(variedFreely(machine, points, of, reading) >= least)) continue;
    if ((predictor === 'setpoint' || predictor === 'fan') && spread < 0.02 * unitOf[predictor]) continue;
    reading.used.push(predictor);
    reading.centre.push(centre);
  }
  if (!reading.used.includes('unitHeat')) delete reading.fullHeat;
  return reading;
}

/** The highest usual one of some values. */
function highOf(values: readonly number[]): number {
  const sorted = [...values].sort((a, b) => a - b);
  return sorted[Math.floor(0.95 * (sorted.length - 1))];
}

function loadFrom(source: LoadSource, at: ChannelValues): number {
  switch (source) {
    case 'water-heat':
      return waterHeat_W(at);
    case 'compressor-load':
      return at.compressorLoad_pct;
    case 'compressor-power':
      return at.compressorPower_W;
    case 'water-difference':
      return at.enteringWaterTemperature_K - at.leavingWaterTemperature_K;
  }
}

function raw(
  machine: Machine,
  predictor: Predictor,
  at: ChannelValues,
  { loadSource, fullLoad, fullHeat = NaN }: PointReading,
): number {
  switch (predictor) {
    case 'load':
      return loadSource === null ? NaN : loadFrom(loadSource, at) / fullLoad;
    case 'sink':
      return coolant_K(machine, at);
    case 'condensing':
      return condensing_K(machine, at.dischargePressure_Pa);
    case 'source':
      return Number.isFinite(at.leavingWaterTemperature_K)
        ? at.leavingWaterTemperature_K
        : at.enteringWaterTemperature_K;
    case 'unitHeat':
      return waterHeat_W(at) / fullHeat;
    case 'setpoint':
      return at.superheatSetpoint_K;
    case 'fan':
      return at.condenserFanSpeed_pct;
    case 'evaporatorFlow':
      return Math.log(at.waterFlow_m3_s);
    case 'condenserFlow':
      return Math.log(at.condenserFlow_m3_s);
  }
}

/**
 * How much a flow or a heat varies that does not follow from the conditions chosen so far: the standard deviation of the flow's
 * logarithm or of the heat's share about a straight line on each, and a square of the load. A pump that follows the load is no condition of its own: where
 * it gives less than it did at the same load, that is a departure.
 */
function variedFreely(
  machine: Machine,
  points: readonly ChannelValues[],
  of: (at: ChannelValues) => number,
  reading: PointReading,
): number {
  const rows = points
    .map((at) => ({ value: of(at), point: pointOf(machine, at, reading) }))
    .filter(({ value, point }) => Number.isFinite(value) && point.every(Number.isFinite));
  const column = (at: (row: (typeof rows)[number]) => number) => Float64Array.from(rows, at);
  const load = reading.used.indexOf('load');
  const columns = [
    column(() => 1),
    ...reading.used.map((_, k) => column(({ point }) => point[k])),
    ...(load < 0 ? [] : [column(({ point }) => point[load] ** 2)]),
  ];
  const values = column(({ value }) => value);
  const fit = rows.length > 2 * columns.length ? fitLinear(columns, values) : null;
  return fit === null ? standardDeviation(values) : Math.sqrt(fit.residualVariance);
}

/** The used predictors of a plateau in their units from the centre of normal running. */
export const pointOf = (machine: Machine, at: ChannelValues, reading: PointReading): number[] =>
  reading.used.map(
    (predictor, k) => (raw(machine, predictor, at, reading) - reading.centre[k]) / unitOf[predictor],
  );

/** How a predictor's place in one reading of the operating point follows from that in another: own = scale * common + shift. */
export function pointShift(
  common: PointReading,
  own: PointReading,
  predictor: Predictor,
): { scale: number; shift: number } {
  const scale =
    predictor === 'load'
      ? common.fullLoad / own.fullLoad
      : predictor === 'unitHeat'
        ? common.fullHeat! / own.fullHeat!
        : 1;
  const centreOf = ({ used, centre }: PointReading) => centre[used.indexOf(predictor)];
  return { scale, shift: (centreOf(common) * scale - centreOf(own)) / unitOf[predictor] };
}

/** A predictor in the unit of its channel again (a load or the unit's heat as a share of the full one), from its place in a point. */
export function predictorValue({ used, centre }: PointReading, k: number, place: number): number {
  if (used[k] === undefined) return place;
  const value = place * unitOf[used[k]] + centre[k];
  return used[k].endsWith('Flow') ? Math.exp(value) : value;
}

/**
 * From so many times the load that counts as full on, normal running tells nothing: another compressor has joined, which it never saw. No
 * straight line tells what power and temperatures are there. Judgement, no source.
 */
const beyond = 1.4;

/** Whether a point lies far over every usual load that was learned from. */
export function isBeyondLoad(point: readonly number[], reading: PointReading): boolean {
  const k = reading.used.indexOf('load');
  return k >= 0 && predictorValue(reading, k, point[k]) > beyond;
}

/** Quantities that are conditions of the others where the plant varies them freely. */
export const conditionOf: Partial<Record<NormalQuantity, Predictor>> = {
  condenserFlow_m3_s: 'condenserFlow',
  evaporatorFlow_m3_s: 'evaporatorFlow',
};

/** What is judged besides the operating point: a quantity that the point itself is read from says nothing. */
export function judgedQuantities({ loadSource, used }: PointReading, machine: Machine): NormalQuantity[] {
  const without = new Set<NormalQuantity>();
  if (loadSource === 'compressor-load') without.add('compressorLoad_pct');
  if (loadSource === 'compressor-power') without.add('compressorPower_W');
  if (loadSource === 'water-difference') without.add('evaporatorDifference_K');
  // With the flow known, a water difference only repeats what heat and flow say; shared water belongs to all circuits.
  if (loadSource === 'water-heat' || !machine.alone) {
    without.add('evaporatorDifference_K');
    without.add('condenserDifference_K');
  }
  if (loadSource !== 'compressor-load' && used.includes('load')) without.add('compressorLoad_pct');
  return judgeable.filter((quantity) => !without.has(quantity));
}

const judgeable: readonly NormalQuantity[] = [
  'condenserApproach_K',
  'evaporatorApproach_K',
  'subcooling_K',
  'superheat_K',
  'dischargeSuperheat_K',
  'condenserDifference_K',
  'evaporatorDifference_K',
  'condenserFlow_m3_s',
  'evaporatorFlow_m3_s',
  'compressorPower_W',
  'heatBalance_K',
  'valveOpening_pct',
  'compressorLoad_pct',
];
