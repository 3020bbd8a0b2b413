import { channels, type Channel } from '../plateaus/channels.js';
import type { Machine } from './machine.js';
import {
  condenserSink_K,
  condensing_K,
  evaporating_K,
  pascalPerKelvin,
  repeatability,
  type ChannelValues,
} from './quantities.js';

/** Channels with what they move by. */
export type ChannelMoves = Partial<Record<Channel, number>>;

/**
 * What differs from one day to another while nothing is wrong, each one by itself and by one standard deviation: every
 * instrument by its repeatability, and the machine and its plant. One day of normal running shows none of it, and no
 * averaging within a day takes it away. In a fixed order, so that the same one on two plateaus stands in the same place;
 * empty where a channel was not sent.
 *
 * Of the machine (judgement, no source): vapour's superheat and what stands in the condenser, as oil and charge are never
 * quite where they were; the conductance of either exchanger by about 1.5 %, which is 2 % of its approach; the compressor
 * by 0.3 %; and a flow that nobody holds by 1 %, as pumps, strainers and what else hangs on the pipe have it.
 */
export const dayToDay = (machine: Machine, at: ChannelValues): ChannelMoves[] => [
  ...channels.map((channel) =>
    Number.isFinite(at[channel]) ? { [channel]: repeatability(channel, at[channel]) } : {},
  ),
  { suctionTemperature_K: 0.15, dischargeTemperature_K: 0.15 },
  { liquidTemperature_K: 0.08 },
  condensing(machine, at),
  evaporating(machine, at),
  {
    compressorPower_W: 0.003 * at.compressorPower_W,
    dischargeTemperature_K: 0.003 * (at.dischargeTemperature_K - at.suctionTemperature_K),
  },
  {
    condenserFlow_m3_s: -0.01 * at.condenserFlow_m3_s,
    condenserLeavingTemperature_K:
      0.01 * (at.condenserLeavingTemperature_K - at.condenserEnteringTemperature_K),
  },
  {
    waterFlow_m3_s: -0.01 * at.waterFlow_m3_s,
    enteringWaterTemperature_K: 0.01 * (at.enteringWaterTemperature_K - at.leavingWaterTemperature_K),
  },
];

const approachShare = 0.02;

function condensing(machine: Machine, at: ChannelValues): ChannelMoves {
  const approach_K = condensing_K(machine, at.dischargePressure_Pa) - condenserSink_K(machine, at);
  const by = approachShare * Math.abs(approach_K);
  return {
    dischargePressure_Pa: by * pascalPerKelvin((p) => condensing_K(machine, p), at.dischargePressure_Pa),
    dischargeTemperature_K: by,
    liquidTemperature_K: by / 2,
  };
}

function evaporating(machine: Machine, at: ChannelValues): ChannelMoves {
  const by =
    approachShare * Math.abs(at.leavingWaterTemperature_K - evaporating_K(machine, at.suctionPressure_Pa));
  return {
    suctionPressure_Pa: -by * pascalPerKelvin((p) => evaporating_K(machine, p), at.suctionPressure_Pa),
    suctionTemperature_K: -by,
  };
}
