import type { Machine } from '../../normal/quantities/machine.js';
import { channelValues, waterHeat_W, type ChannelValues } from '../../normal/quantities/quantities.js';
import { channels } from '../../normal/plateaus/channels.js';
import type { Plateau } from '../../normal/plateaus/find-plateaus.js';
import { valueOrNaN, vapourEnthalpy } from '../../refrigerants/index.js';
import type { Estimate } from '../estimate.js';
import { idealCycle, type CycleState } from './ideal-cycle.js';

/** Where the compressor's power comes from, the surest first. */
export type PowerSource = 'measured' | 'water-heat' | 'rated-capacity';

export interface CompressorPower extends Estimate {
  from: PowerSource;
}

/**
 * How well each way holds as a share of its value, one standard uncertainty: a power meter of class 1 with its current
 * transformers; heat from the water over the COP of the measured states; rated capacity times load, which knows neither
 * the conditions nor how capacity goes with load. Judgement, no source.
 */
const holds: Record<PowerSource, number> = { measured: 0.03, 'water-heat': 0.08, 'rated-capacity': 0.25 };

/** Isentropic efficiency of a compressor where its discharge does not tell it, half-way and half-width (common practice, no source). */
const usualEfficiency = { value: 0.65, halfWidth: 0.15 };
const plausibleEfficiency = [0.3, 0.95] as const;

/** Means of the channels over plateaus, each weighted by its length; NaN where one is missing from all. */
export function meanChannels(plateaus: readonly Plateau[]): ChannelValues {
  const means = channelValues({});
  for (const channel of channels) {
    let sum = 0;
    let length = 0;
    for (const { values, from_s, to_s } of plateaus) {
      const value = values[channel]?.value;
      if (value === undefined || !Number.isFinite(value)) continue;
      sum += value * (to_s - from_s);
      length += to_s - from_s;
    }
    if (length > 0) means[channel] = sum / length;
  }
  return means;
}

/**
 * Mean electrical power of a circuit's compressors while it runs steadily, W: as measured; or from the heat that the
 * unit's water gives up, where the water is this circuit's own, over the COP of the measured states; or from rated
 * capacity times load over the COP. Null where none of the three can be had.
 *
 * COP = ideal COP times isentropic efficiency, (h2s - h1) / (h2 - h1) with h2 of the measured discharge temperature; where
 * that is not sent, 0.65 with a half-width of 0.15.
 *
 * @param ratedCapacity_W cooling capacity of the circuit at full load; null: not known
 */
export function compressorPower(
  machine: Machine,
  at: ChannelValues,
  state: CycleState,
  ratedCapacity_W: number | null,
): CompressorPower | null {
  if (at.compressorPower_W > 0)
    return {
      value: at.compressorPower_W,
      uncertainty: holds.measured * at.compressorPower_W,
      from: 'measured',
    };
  const water_W = machine.alone ? waterHeat_W(at) : NaN;
  const [heat_W, from]: [number, PowerSource] =
    water_W > 0
      ? [water_W, 'water-heat']
      : [((ratedCapacity_W ?? NaN) * at.compressorLoad_pct) / 100, 'rated-capacity'];
  if (!(heat_W > 0)) return null;
  const efficiency = isentropicEfficiency(machine, at, state);
  const value = heat_W / (idealCycle(machine.refrigerant, state).cop * efficiency.value);
  const share = Math.hypot(holds[from], efficiency.uncertainty / efficiency.value);
  return { value, uncertainty: share * value, from };
}

function isentropicEfficiency({ refrigerant }: Machine, at: ChannelValues, state: CycleState): Estimate {
  const real = valueOrNaN(
    () =>
      vapourEnthalpy(refrigerant, state.dischargePressure_Pa, at.dischargeTemperature_K) -
      vapourEnthalpy(refrigerant, state.suctionPressure_Pa, state.suctionTemperature_K),
  );
  const value = idealCycle(refrigerant, state).work_J_kg / real;
  const [low, high] = plausibleEfficiency;
  return value > low && value < high
    ? { value, uncertainty: 0.05 * value }
    : { value: usualEfficiency.value, uncertainty: usualEfficiency.halfWidth / Math.sqrt(3) };
}
