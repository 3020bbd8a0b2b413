import { machineOf, type Machine } from '../../normal/quantities/machine.js';
import type { ChannelValues } from '../../normal/quantities/quantities.js';
import { saturationPressure } from '../../refrigerants/index.js';
import { channels } from '../../normal/plateaus/channels.js';
import type { EvaporatorType } from '../../telemetry/registry.js';

/** Channels of which nothing is sent but what is given. */
export const only = (values: Partial<ChannelValues>): ChannelValues =>
  ({ ...Object.fromEntries(channels.map((channel) => [channel, NaN])), ...values }) as ChannelValues;

export const r134a = (
  evaporator: EvaporatorType = 'dry-expansion',
  condenser: 'air' | 'water' = 'water',
): Machine => machineOf({ refrigerant: 'R134a', evaporator, condenser });

export const saturated = (temperature_K: number) => saturationPressure('R134a', temperature_K, 'dew');

/**
 * R134a evaporating at 278 K and condensing at 308 K, a lift of 30 K; the discharge 45 K over the suction, 1.5 K for each
 * kelvin of lift. The evaporator's water gives 0.02 m3/s x 4.18 MJ/(m3 K) x 5 K = 418 kW, the compressor adds a quarter of
 * that: a fifth of what is rejected.
 */
export const state: ChannelValues = only({
  suctionPressure_Pa: saturated(278),
  dischargePressure_Pa: saturated(308),
  suctionTemperature_K: 284,
  dischargeTemperature_K: 329,
  liquidTemperature_K: 303,
  enteringWaterTemperature_K: 285,
  leavingWaterTemperature_K: 280,
  waterFlow_m3_s: 0.02,
  condenserEnteringTemperature_K: 300,
  condenserLeavingTemperature_K: 305,
  condenserFlow_m3_s: 0.025,
  compressorPower_W: 104_500,
  compressorLoad_pct: 60,
  valveOpening_pct: 50,
});
