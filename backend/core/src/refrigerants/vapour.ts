import { bracketedRoot, surfaceValue } from '../numerics/index.js';
import { OutOfRangeError } from '../units/index.js';
import { fluidOf, surfaceOf, vapourSurfaces, type Fluid } from './fluid.js';
import { saturationTemperature } from './saturation.js';

/** A temperature this much under the dew point is still taken as the dew point, since a caller who worked it out backwards may have rounded. */
const dewSlack_K = 1e-3;

function surfaceAt(fluid: Fluid, surface: Float32Array, pressure_Pa: number, superheat_K: number): number {
  const row = (Math.log(pressure_Pa) - fluid.table.dewLogPressure[0]) * fluid.vapourRowsPerLogPressure;
  const column =
    Math.log1p(superheat_K / fluid.table.superheatScale_K) * fluid.vapourColumnsPerScaledSuperheat;
  return surfaceValue(surface, fluid.vapourColumns, row, column);
}

/** Highest temperature of vapour in the table at a pressure, K. */
export function hottestVapour_K(refrigerant: string, pressure_Pa: number): number {
  const { largestSuperheat_K, hottestVapour_K: limit } = fluidOf(refrigerant).table;
  return Math.min(limit, saturationTemperature(refrigerant, pressure_Pa, 'dew') + largestSuperheat_K);
}

function vapourAt(refrigerant: string, pressure_Pa: number, temperature_K: number, surface: number): number {
  const fluid = fluidOf(refrigerant);
  const dew_K = saturationTemperature(refrigerant, pressure_Pa, 'dew');
  const superheat_K = temperature_K - dew_K;
  if (!(
    superheat_K >= -dewSlack_K &&
    superheat_K <= fluid.table.largestSuperheat_K + dewSlack_K &&
    temperature_K <= fluid.table.hottestVapour_K + dewSlack_K
  )) {
    const context = `${fluid.table.name} vapour at ${pressure_Pa} Pa, K`;
    const hottest_K = hottestVapour_K(refrigerant, pressure_Pa);
    throw new OutOfRangeError('temperature_K', temperature_K, dew_K, hottest_K, context);
  }
  return surfaceAt(fluid, surfaceOf(fluid, surface), pressure_Pa, Math.max(0, superheat_K));
}

/**
 * Enthalpy of vapour, J/kg above saturated vapour (dew side) at 273.15 K.
 *
 * Source: CoolProp 8.0.0 through the spline tables. Valid from the dew point to 100 K of superheat, or up to the limit
 * of the equation of state where that comes first; dew points as `saturationTemperature`.
 * @throws UnknownRefrigerantError, OutOfRangeError (`pressure_Pa`, `temperature_K`).
 * @example vapourEnthalpy('R134a', 132735, 262.15)
 */
export const vapourEnthalpy = (refrigerant: string, pressure_Pa: number, temperature_K: number): number =>
  vapourAt(refrigerant, pressure_Pa, temperature_K, vapourSurfaces.enthalpy);

/** Density of vapour, kg/m3. Source, range and errors as `vapourEnthalpy`. */
export const vapourDensity = (refrigerant: string, pressure_Pa: number, temperature_K: number): number =>
  pressure_Pa / vapourAt(refrigerant, pressure_Pa, temperature_K, vapourSurfaces.pressureOverDensity);

/** Entropy of vapour, J/(kg K) above saturated vapour (dew side) at 273.15 K. Source, range and errors as `vapourEnthalpy`. */
export const vapourEntropy = (refrigerant: string, pressure_Pa: number, temperature_K: number): number =>
  vapourAt(refrigerant, pressure_Pa, temperature_K, vapourSurfaces.entropy);

function temperatureWhere(
  refrigerant: string,
  pressure_Pa: number,
  property: typeof vapourEnthalpy,
  value: number,
  argument: string,
): number {
  const dew_K = saturationTemperature(refrigerant, pressure_Pa, 'dew');
  const hottest_K = hottestVapour_K(refrigerant, pressure_Pa);
  const low = property(refrigerant, pressure_Pa, dew_K);
  const high = property(refrigerant, pressure_Pa, hottest_K);
  if (!(value >= low && value <= high)) {
    throw new OutOfRangeError(argument, value, low, high, `${refrigerant} vapour at ${pressure_Pa} Pa`);
  }
  return bracketedRoot((t) => property(refrigerant, pressure_Pa, t) - value, dew_K, hottest_K, 1e-7);
}

/**
 * Temperature of vapour of a given enthalpy at a pressure, K.
 * @throws OutOfRangeError (`enthalpy_J_kg`) when the state is wet or hotter than the table.
 */
export const vapourTemperatureFromEnthalpy = (
  refrigerant: string,
  pressure_Pa: number,
  enthalpy_J_kg: number,
): number => temperatureWhere(refrigerant, pressure_Pa, vapourEnthalpy, enthalpy_J_kg, 'enthalpy_J_kg');

/**
 * Temperature of vapour of a given entropy at a pressure, K.
 * @throws OutOfRangeError (`entropy_J_kgK`) when the state is wet or hotter than the table.
 */
export const vapourTemperatureFromEntropy = (
  refrigerant: string,
  pressure_Pa: number,
  entropy_J_kgK: number,
): number => temperatureWhere(refrigerant, pressure_Pa, vapourEntropy, entropy_J_kgK, 'entropy_J_kgK');

/**
 * State after lossless (isentropic) compression of vapour: temperature and the enthalpy it costs.
 * @throws OutOfRangeError when the suction is wet, or the end state is wet or hotter than the table.
 */
export function isentropicDischarge(
  refrigerant: string,
  suctionPressure_Pa: number,
  suctionTemperature_K: number,
  dischargePressure_Pa: number,
): { temperature_K: number; enthalpyRise_J_kg: number } {
  const entropy = vapourEntropy(refrigerant, suctionPressure_Pa, suctionTemperature_K);
  const temperature_K = vapourTemperatureFromEntropy(refrigerant, dischargePressure_Pa, entropy);
  return {
    temperature_K,
    enthalpyRise_J_kg:
      vapourEnthalpy(refrigerant, dischargePressure_Pa, temperature_K) -
      vapourEnthalpy(refrigerant, suctionPressure_Pa, suctionTemperature_K),
  };
}
