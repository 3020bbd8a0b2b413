import type { SignalHabit } from '../../habits/signal/signal-habit.js';
import { saturationCurve, saturationSlope_K_Pa } from '../../refrigerants/index.js';
import type { CircuitSeries } from '../../telemetry/circuit-series.js';
import { medianOf } from '../running/running-state.js';
import type { SensorName } from '../standstill/thermal-consensus.js';

/**
 * What moves along with a sensor when the circuit works, K: for a thermometer the saturation temperature of its own
 * side's pressure, for a pressure the thermometer of its side; and how far one step of the sensor's value reaches, K.
 */
export function companionOf(
  sensor: SensorName,
  series: CircuitSeries,
  refrigerant: string,
  { resolution, deadband }: Pick<SignalHabit, 'resolution' | 'deadband'>,
): { temperature_K: Float64Array; step_K: number } {
  const step = resolution + deadband;
  const dew = saturationCurve(refrigerant, 'dew').temperature;
  const saturation = (pressure_Pa: Float64Array) => pressure_Pa.map((value) => dew(value));
  switch (sensor) {
    case 'suction-temperature':
      return { temperature_K: saturation(series.suctionPressure_Pa), step_K: step };
    case 'discharge-temperature':
    case 'liquid-temperature':
      return { temperature_K: saturation(series.dischargePressure_Pa), step_K: step };
    case 'suction-pressure':
      return {
        temperature_K: series.suctionTemperature_K,
        step_K: step * slopeAt(refrigerant, series.suctionPressure_Pa),
      };
    case 'discharge-pressure':
      return {
        temperature_K: series.liquidTemperature_K.some(Number.isFinite)
          ? series.liquidTemperature_K
          : series.dischargeTemperature_K,
        step_K: step * slopeAt(refrigerant, series.dischargePressure_Pa),
      };
  }
}

function slopeAt(refrigerant: string, pressure_Pa: Float64Array): number {
  try {
    return saturationSlope_K_Pa(refrigerant, medianOf(pressure_Pa), 'dew');
  } catch {
    return 0; // No saturation temperature there, so no step of one.
  }
}
