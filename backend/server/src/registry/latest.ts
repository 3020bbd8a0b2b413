import {
  operatingStates,
  saturationTemperature,
  subcooling,
  subcoolingUncertainty,
  superheat,
  superheatUncertainty,
  type CircuitEntry,
  type WindowJudgement,
} from '@coldrounds/core';
import type { LatestReading } from '../storage/repositories/readings/reading.repository.js';

/** A value that cannot be worked out from what was sent (missing, or outside the property tables) is null. */
export function attempt(work: () => number): number | null {
  try {
    const value = work();
    return Number.isFinite(value) ? value : null;
  } catch (error) {
    if (error instanceof Error && ['OutOfRangeError', 'ArgumentError'].includes(error.name)) return null;
    throw error;
  }
}

export function latestView(
  refrigerant: string,
  entry: CircuitEntry,
  { circuitId: _circuitId, ...reading }: LatestReading,
  window: WindowJudgement | undefined,
) {
  const suction_Pa = reading.suctionPressure_Pa ?? NaN;
  const suction_K = reading.suctionTemperature_K ?? NaN;
  const discharge_Pa = reading.dischargePressure_Pa ?? NaN;
  const liquid_K = reading.liquidTemperature_K ?? NaN;
  return {
    ...reading,
    superheat_K: attempt(() => superheat(refrigerant, suction_Pa, suction_K)),
    superheatUncertainty_K: attempt(() =>
      superheatUncertainty(refrigerant, suction_Pa, suction_K, {
        pressureTolerance_Pa: entry.suctionPressure.tolerance,
        temperatureTolerance_K: entry.suctionTemperature.tolerance,
      }),
    ),
    suctionSaturationTemperature_K: attempt(() => saturationTemperature(refrigerant, suction_Pa, 'dew')),
    dischargeSaturationTemperature_K: attempt(() => saturationTemperature(refrigerant, discharge_Pa, 'dew')),
    subcooling_K: attempt(() => subcooling(refrigerant, discharge_Pa, liquid_K)),
    subcoolingUncertainty_K: attempt(() =>
      subcoolingUncertainty(refrigerant, discharge_Pa, {
        pressureTolerance_Pa: entry.dischargePressure.tolerance,
        temperatureTolerance_K: entry.liquidTemperature.tolerance,
      }),
    ),
    state:
      window === undefined
        ? null
        : operatingStates.reduce((most, state) =>
            window.minutes[state] > window.minutes[most] ? state : most,
          ),
  };
}
