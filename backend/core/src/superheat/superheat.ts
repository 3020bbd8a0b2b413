import { saturationTemperature } from '../refrigerants/index.js';

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
