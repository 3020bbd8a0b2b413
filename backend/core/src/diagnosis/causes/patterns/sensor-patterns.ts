import type { Channel } from '../../../normal/plateaus/channels.js';
import type { ChannelValues } from '../../../normal/quantities/quantities.js';
import type { CausePattern } from './cause-pattern.js';
import { orElse } from './pattern-state.js';

/** Sensors that can read wrong, with a usual error: kelvin, or a share of the value (common practice, no source). */
const usualError: Partial<Record<Channel, { kelvin: number } | { share: number }>> = {
  suctionPressure_Pa: { share: 0.03 },
  suctionTemperature_K: { kelvin: 1.5 },
  dischargePressure_Pa: { share: 0.03 },
  dischargeTemperature_K: { kelvin: 2 },
  liquidTemperature_K: { kelvin: 1.5 },
  enteringWaterTemperature_K: { kelvin: 0.7 },
  leavingWaterTemperature_K: { kelvin: 0.7 },
  waterFlow_m3_s: { share: 0.07 },
  condenserEnteringTemperature_K: { kelvin: 0.7 },
  condenserLeavingTemperature_K: { kelvin: 0.7 },
  condenserFlow_m3_s: { share: 0.07 },
  compressorPower_W: { share: 0.05 },
};

/** Prior probability, among all patterns, that one of the sensors is wrong; divided equally among the sensors sent. */
const priorOfAll = 0.14;

/**
 * One pattern per sensor that was sent: it alone moves, either way, and everything computed from it with it. A thermometer
 * or a transducer is off by the same at every load (a transducer's zero), a meter of flow or power by the same share.
 */
export function sensorPatterns(at: ChannelValues, reference: ChannelValues = at): CausePattern[] {
  const there = (Object.entries(usualError) as [Channel, { kelvin: number } | { share: number }][]).filter(
    ([channel]) => Number.isFinite(at[channel]),
  );
  return there.map(([channel, error]) => ({
    cause: 'sensor-wrong',
    channel,
    moves: {
      [channel]:
        'kelvin' in error
          ? error.kelvin
          : error.share * (channel.endsWith('_Pa') ? orElse(reference[channel], at[channel]) : at[channel]),
    },
    doubts: {},
    severity: { median: 1, spread: 0.9 },
    eitherWay: true,
    prior: priorOfAll / there.length,
  }));
}
