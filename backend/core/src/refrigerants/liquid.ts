import { pieceValue } from '../numerics/index.js';
import { curveOf, fluidOf, liquidDensityCurve, liquidEnthalpyCurve } from './fluid.js';
import { temperaturePlace } from './saturation.js';

/**
 * Enthalpy of saturated liquid (bubble side) at a temperature, J/kg above saturated vapour (dew side) at 273.15 K, so
 * it is negative. Subcooled liquid at the same temperature differs by less than 0.3 % of the evaporation enthalpy at
 * pressures of a chiller.
 *
 * Source and range as `saturationTemperature`.
 * @throws UnknownRefrigerantError, OutOfRangeError (`temperature_K`).
 * @example liquidEnthalpy('R134a', 313.15) // about -142e3
 */
export function liquidEnthalpy(refrigerant: string, temperature_K: number): number {
  const fluid = fluidOf(refrigerant);
  return pieceValue(curveOf(fluid, liquidEnthalpyCurve), temperaturePlace(fluid, temperature_K));
}

/**
 * Density of saturated liquid (bubble side) at a temperature, kg/m3. Source and range as `saturationTemperature`.
 * @throws UnknownRefrigerantError, OutOfRangeError (`temperature_K`).
 * @example liquidDensity('R134a', 313.15) // about 1147
 */
export function liquidDensity(refrigerant: string, temperature_K: number): number {
  const fluid = fluidOf(refrigerant);
  return pieceValue(curveOf(fluid, liquidDensityCurve), temperaturePlace(fluid, temperature_K));
}
