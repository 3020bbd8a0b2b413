import type { Channel } from '../../../normal/plateaus/channels.js';
import type { ChannelValues } from '../../../normal/quantities/quantities.js';
import type { Machine } from '../../../normal/quantities/machine.js';
import { evaporating_K } from '../../../normal/quantities/quantities.js';
import type { CausePattern } from './cause-pattern.js';
import { orElse, pressureMove } from './pattern-state.js';

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
 * or a transducer is off by the same at every load (a transducer's zero), a meter of flow or power by the same share. A
 * sensor that the valve's controller works with moves the machine besides (`followed`): such a one has two patterns.
 */
export function sensorPatterns(
  at: ChannelValues,
  reference: ChannelValues = at,
  machine?: Machine,
): CausePattern[] {
  const there = (Object.entries(usualError) as [Channel, { kelvin: number } | { share: number }][]).filter(
    ([channel]) => Number.isFinite(at[channel]) && !isConfirmed(at, channel),
  );
  return there.flatMap(([channel, error]) => {
    const off =
      'kelvin' in error
        ? error.kelvin
        : error.share * (channel.endsWith('_Pa') ? orElse(reference[channel], at[channel]) : at[channel]);
    const alone: CausePattern = {
      cause: 'sensor-wrong',
      channel,
      moves: { [channel]: off },
      doubts: {},
      severity: { median: 1, spread: 0.9 },
      eitherWay: true,
      prior: priorOfAll / there.length,
    };
    const controlled = machine === undefined ? null : followed(machine, at, channel, off);
    if (controlled === null) return [alone];
    return [
      { ...alone, prior: alone.prior * (1 - byController) },
      { ...alone, form: 'followed', ...controlled, prior: alone.prior * byController },
    ];
  });
}

/** Two thermometers in the same air that read within this of each other are not both off by more, K. Judgement, no source. */
const alike_K = 0.5;

/** Air that enters a condenser is the ambient's: where a second thermometer there says the same, the first one is right. */
const isConfirmed = (at: ChannelValues, channel: Channel): boolean =>
  channel === 'condenserEnteringTemperature_K' &&
  Math.abs(at.condenserEnteringTemperature_K - at.ambientTemperature_K) < alike_K;

/** How often the valve's controller works with the sensor that is sent, and not with one of its own. Judgement, no source. */
const byController = 0.7;
/** Fall of the evaporating temperature for each kelvin more of superheat, and how unsure that is: the vapour takes surface to be warmed on. Judgement, no source. */
const surfaceOfSuperheat = { share: 0.25, doubt: 0.2 };

/**
 * A suction sensor by which a controller holds superheat: superheat reads as before, since the controller sees to it, and
 * what is wrong is the true one. Read `off` too high, a thermometer makes it too low by that much, a transducer too high by
 * what the error is in saturation temperature; the discharge follows the true one, evaporating what surface it leaves. Null
 * for all other sensors, and where no valve holds superheat.
 */
function followed(
  machine: Machine,
  at: ChannelValues,
  channel: Channel,
  off: number,
): Pick<CausePattern, 'moves' | 'doubts' | 'jointDoubts'> | null {
  const holds =
    machine.evaporator === 'dry-expansion' &&
    [at.superheatSetpoint_K, at.valveOpening_pct].some(Number.isFinite) &&
    Number.isFinite(at.suctionPressure_Pa + at.suctionTemperature_K);
  if (!holds || !(channel === 'suctionTemperature_K' || channel === 'suctionPressure_Pa')) return null;
  const saturation_K = evaporating_K(machine, at.suctionPressure_Pa);
  const byPressure = channel === 'suctionPressure_Pa';
  const error_K = byPressure ? evaporating_K(machine, at.suctionPressure_Pa + off) - saturation_K : off;
  const superheat_K = byPressure ? error_K : -error_K;
  const evaporating = (kelvin: number) => pressureMove(machine, at.suctionPressure_Pa, saturation_K, kelvin);
  const fall_K = surfaceOfSuperheat.share * superheat_K;
  const reads_K = (byPressure ? error_K : 0) - fall_K;
  const doubt_K = surfaceOfSuperheat.doubt * superheat_K;
  return {
    // Both suction readings move alike: their difference is what the controller holds.
    moves: {
      suctionPressure_Pa: evaporating(reads_K),
      suctionTemperature_K: reads_K,
      dischargeTemperature_K: superheat_K - fall_K,
    },
    doubts: {
      dischargeTemperature_K: 0.3 * Math.abs(superheat_K),
      valveOpening_pct: 0.02 * Math.abs(superheat_K) * orElse(at.valveOpening_pct, 0),
      compressorPower_W: 0.01 * Math.abs(superheat_K) * orElse(at.compressorPower_W, 0),
      compressorLoad_pct: 0.01 * Math.abs(superheat_K) * orElse(at.compressorLoad_pct, 0),
      liquidTemperature_K: 0.05 * Math.abs(superheat_K),
    },
    jointDoubts: [
      {
        suctionPressure_Pa: evaporating(-doubt_K),
        suctionTemperature_K: -doubt_K,
        dischargeTemperature_K: -doubt_K,
      },
    ],
  };
}
