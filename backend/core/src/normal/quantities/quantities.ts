import { channels, type Channel } from '../plateaus/channels.js';
import { waterHeat_J_m3K } from './exchanger.js';
import { toFullFans } from './fans.js';
import type { Machine } from './machine.js';

/** One number per channel; NaN where it was not sent. */
export type ChannelValues = Record<Channel, number>;

/**
 * What is compared with the learned normal. `compared` says on which scale: as it is, or as a share of what it is at full
 * load in normal running, since what scatters a flow or a power scatters it by as much at low load. `usual` is how
 * well a healthy machine repeats itself from plateau to plateau, the start of what is then learned (common practice, no
 * source): kelvin, percent, or share.
 */
export const quantityFacts = {
  condenserApproach_K: { compared: 'difference', usual: 0.12 },
  evaporatorApproach_K: { compared: 'difference', usual: 0.12 },
  subcooling_K: { compared: 'difference', usual: 0.2 },
  superheat_K: { compared: 'difference', usual: 0.3 },
  dischargeSuperheat_K: { compared: 'difference', usual: 0.4 },
  condenserDifference_K: { compared: 'difference', usual: 0.1 },
  evaporatorDifference_K: { compared: 'difference', usual: 0.1 },
  condenserFlow_m3_s: { compared: 'share', usual: 0.005 },
  evaporatorFlow_m3_s: { compared: 'share', usual: 0.005 },
  compressorPower_W: { compared: 'share', usual: 0.01 },
  heatBalance_K: { compared: 'difference', usual: 0.1 },
  valveOpening_pct: { compared: 'share', usual: 0.02 },
  compressorLoad_pct: { compared: 'difference', usual: 1 },
} as const satisfies Record<string, { compared: 'difference' | 'share'; usual: number }>;

export type NormalQuantity = keyof typeof quantityFacts;
export type QuantityValues = Record<NormalQuantity, number>;
export const normalQuantities = Object.keys(quantityFacts) as NormalQuantity[];

/** What a quantity is divided by before it is compared: 1, or its highest usual value in normal running. */
export function referenceOf(quantity: NormalQuantity, values: readonly number[]): number {
  if (quantityFacts[quantity].compared === 'difference') return 1;
  const sorted = values.filter(Number.isFinite).sort((a, b) => a - b);
  const high = sorted[Math.floor(0.95 * (sorted.length - 1))];
  return high > 0 ? high : NaN;
}

/** Share of vapour at the evaporator's inlet, for the mean temperature of a blend that evaporates with glide (common practice). */
const inletQuality = 0.25;

/** Condensing temperature half way between dew and bubble point, K; the saturation temperature of a pure refrigerant. */
export const condensing_K = ({ dew, bubble }: Machine, pressure_Pa: number): number =>
  (dew.temperature(pressure_Pa) + bubble.temperature(pressure_Pa)) / 2;

/** Evaporating temperature half way between the inlet, at a quarter of vapour, and the dew point, K. */
export const evaporating_K = ({ dew, bubble }: Machine, pressure_Pa: number): number =>
  meanOfEvaporator_K(dew.temperature(pressure_Pa), bubble.temperature(pressure_Pa));

const meanOfEvaporator_K = (dew_K: number, bubble_K: number): number =>
  dew_K - ((1 - inletQuality) * (dew_K - bubble_K)) / 2;

/** Pressure for each kelvin of a saturation temperature, Pa/K. */
export const pascalPerKelvin = (saturation: (pressure_Pa: number) => number, pressure_Pa: number): number =>
  (0.01 * pressure_Pa) / (saturation(1.01 * pressure_Pa) - saturation(pressure_Pa));

/**
 * The quantities of a plateau from its channels, NaN where something they need is missing:
 * - approaches: mean condensing temperature less the leaving water (the entering water or air where that is all
 *   there is, then brought to full fans where their speed is sent), leaving water less mean evaporating temperature;
 * - subcooling from the bubble point, superheat and discharge superheat from the dew point;
 * - heat balance: the warming of the condenser's water less what the heat of the evaporator's and the compressor's power
 *   should warm it by; 0 but for losses and for what the meters are off. Where circuits share their waters, the power of all
 *   of them is not known: then the share of the condenser's heat that did not come from the evaporator, in kelvin of a usual
 *   change. It is what compressors add, which at the same conditions is the same however many of them run.
 */
export function quantityValues(machine: Machine, at: ChannelValues): QuantityValues {
  const { dew, bubble } = machine;
  const dischargeDew = dew.temperature(at.dischargePressure_Pa);
  const dischargeBubble = bubble.temperature(at.dischargePressure_Pa);
  const suctionDew = dew.temperature(at.suctionPressure_Pa);
  const condensing = (dischargeDew + dischargeBubble) / 2;
  const evaporating = meanOfEvaporator_K(suctionDew, bubble.temperature(at.suctionPressure_Pa));
  const sink = condenserSink_K(machine, at);
  const evaporatorDifference = at.enteringWaterTemperature_K - at.leavingWaterTemperature_K;
  const condenserDifference = at.condenserLeavingTemperature_K - at.condenserEnteringTemperature_K;
  const taken = at.waterFlow_m3_s * waterHeat_J_m3K * evaporatorDifference;
  // Air carries some 1/3500 of what water does: only water closes a balance.
  const perKelvin = machine.condenser === 'water' ? at.condenserFlow_m3_s * waterHeat_J_m3K : NaN;
  const added = Number.isFinite(at.compressorPower_W) ? at.compressorPower_W : 0;
  return {
    condenserApproach_K: (condensing - sink) * toFullFans(machine, at),
    evaporatorApproach_K: at.leavingWaterTemperature_K - evaporating,
    subcooling_K: dischargeBubble - at.liquidTemperature_K,
    superheat_K: at.suctionTemperature_K - suctionDew,
    dischargeSuperheat_K: at.dischargeTemperature_K - dischargeDew,
    condenserDifference_K: condenserDifference,
    evaporatorDifference_K: evaporatorDifference,
    condenserFlow_m3_s: at.condenserFlow_m3_s,
    evaporatorFlow_m3_s: at.waterFlow_m3_s,
    compressorPower_W: at.compressorPower_W,
    heatBalance_K: !(perKelvin > 0)
      ? NaN
      : machine.alone
        ? condenserDifference - (taken + added) / perKelvin
        : usualChange_K * (1 - taken / (perKelvin * condenserDifference)),
    valveOpening_pct: at.valveOpening_pct,
    compressorLoad_pct: at.compressorLoad_pct,
  };
}

/** By how much a condenser's water is usually warmed, K (common practice, no source). */
const usualChange_K = 5;

/**
 * What the condenser is cooled by, as it comes: its water or air; of an air-cooled one the ambient where that alone is sent. The ambient of a
 * water-cooled machine tells nothing of its water: it is the machine room's, or the outdoors', whose wet bulb and tower are not known.
 */
export const condenserEntering_K = ({ condenser }: Pick<Machine, 'condenser'>, at: ChannelValues): number =>
  Number.isFinite(at.condenserEnteringTemperature_K) || condenser === 'water'
    ? at.condenserEnteringTemperature_K
    : at.ambientTemperature_K;

/** What an approach is taken from: the water or air that leaves the condenser, or what enters it where that alone is sent. */
export const condenserSink_K = (machine: Pick<Machine, 'condenser'>, at: ChannelValues): number =>
  Number.isFinite(at.condenserLeavingTemperature_K)
    ? at.condenserLeavingTemperature_K
    : condenserEntering_K(machine, at);

/** What tells how warm the condenser is cooled: what enters it, or the water that leaves it where that alone is sent; NaN where nothing does. */
export const coolant_K = (machine: Pick<Machine, 'condenser'>, at: ChannelValues): number => {
  const entering_K = condenserEntering_K(machine, at);
  return Number.isFinite(entering_K) ? entering_K : at.condenserLeavingTemperature_K;
};

/** Heat taken from the evaporator's water, W; NaN without its flow or temperatures. */
export const waterHeat_W = (at: ChannelValues): number =>
  at.waterFlow_m3_s * waterHeat_J_m3K * (at.enteringWaterTemperature_K - at.leavingWaterTemperature_K);

/**
 * How well an instrument repeats itself from one day to another, one standard uncertainty (common practice, no source): what
 * one day of normal running cannot show, and what no averaging within a day takes away. Thermometers that are off by a tenth of a
 * kelvin from one day to another are nothing unusual.
 */
export function repeatability(channel: Channel, value: number): number {
  if (channel.endsWith('_K')) return 0.06;
  if (channel.endsWith('_Pa')) return 0.001 * Math.abs(value);
  if (channel.endsWith('_pct')) return 0.5;
  return 0.004 * Math.abs(value);
}

export function channelValues(values: Partial<Record<Channel, { value: number }>>): ChannelValues {
  const at = {} as ChannelValues;
  for (const channel of channels) at[channel] = values[channel]?.value ?? NaN;
  return at;
}
