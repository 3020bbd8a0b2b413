import { saturationCurve, saturationTemperature } from '../refrigerants/index.js';
import type { CircuitSeries } from '../telemetry/circuit-series.js';

/**
 * Superheat, K: suction temperature less the dew temperature at suction pressure. Negative where the temperature reads
 * under the dew point, which no vapour in equilibrium can.
 *
 * @throws UnknownRefrigerantError, OutOfRangeError (`pressure_Pa`).
 * @example superheat('R134a', 349.9e3, 284.15) // 6.0
 */
export const superheat = (
  refrigerant: string,
  suctionPressure_Pa: number,
  suctionTemperature_K: number,
): number => suctionTemperature_K - saturationTemperature(refrigerant, suctionPressure_Pa, 'dew');

/**
 * Subcooling, K: bubble temperature at a pressure less the liquid temperature.
 *
 * @throws UnknownRefrigerantError, OutOfRangeError (`pressure_Pa`).
 * @example subcooling('R134a', 1016.6e3, 308.15) // 5.0
 */
export const subcooling = (refrigerant: string, pressure_Pa: number, liquidTemperature_K: number): number =>
  saturationTemperature(refrigerant, pressure_Pa, 'bubble') - liquidTemperature_K;

/**
 * Superheat of every sample of a circuit, K; NaN where a value is missing or the pressure lies outside the table.
 * @throws UnknownRefrigerantError.
 */
export function superheatSeries(
  refrigerant: string,
  series: Pick<CircuitSeries, 'suctionPressure_Pa' | 'suctionTemperature_K'>,
): Float64Array {
  const { temperature } = saturationCurve(refrigerant, 'dew');
  const { suctionPressure_Pa, suctionTemperature_K } = series;
  const out = new Float64Array(suctionPressure_Pa.length);
  for (let i = 0; i < out.length; i++) out[i] = suctionTemperature_K[i] - temperature(suctionPressure_Pa[i]);
  return out;
}

/**
 * Subcooling of every sample at discharge pressure, K; NaN as `superheatSeries`. The pressure loss of the condenser is
 * not known and counts as none.
 * @throws UnknownRefrigerantError.
 */
export function subcoolingSeries(
  refrigerant: string,
  series: Pick<CircuitSeries, 'dischargePressure_Pa' | 'liquidTemperature_K'>,
): Float64Array {
  const { temperature } = saturationCurve(refrigerant, 'bubble');
  const { dischargePressure_Pa, liquidTemperature_K } = series;
  const out = new Float64Array(dischargePressure_Pa.length);
  for (let i = 0; i < out.length; i++) out[i] = temperature(dischargePressure_Pa[i]) - liquidTemperature_K[i];
  return out;
}
