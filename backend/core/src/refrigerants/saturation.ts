import { pieceSlope, pieceValue } from '../numerics/index.js';
import { ArgumentError, OutOfRangeError } from '../units/index.js';
import { curveOf, fluidOf, type Fluid, type SaturationBranch, type SaturationSide } from './fluid.js';

/**
 * How far beyond its end, in pieces, a curve may be asked: the rounding of a pressure that itself came from the end
 * of a curve, 0.2 mK at most.
 */
const slack = 1e-4;

function branchOf(fluid: Fluid, side: SaturationSide): SaturationBranch {
  if (side === 'dew') return fluid.dew;
  if (side === 'bubble') return fluid.bubble;
  throw new ArgumentError('side', `must be 'dew' or 'bubble', not ${String(side)}`);
}

function pressureOutOfRange(fluid: Fluid, side: SaturationSide, pressure_Pa: number): OutOfRangeError {
  const [low, high] = side === 'dew' ? fluid.table.dewLogPressure : fluid.table.bubbleLogPressure;
  const context = `${fluid.table.name}, ${side} side, Pa`;
  return new OutOfRangeError('pressure_Pa', pressure_Pa, Math.exp(low), Math.exp(high), context);
}

export function temperatureOutOfRange(fluid: Fluid, temperature_K: number): OutOfRangeError {
  const { name, lowestSaturation_K, highestSaturation_K } = fluid.table;
  const context = `${name}, saturation, K`;
  return new OutOfRangeError(
    'temperature_K',
    temperature_K,
    lowestSaturation_K,
    highestSaturation_K,
    context,
  );
}

/** Place of a temperature on the saturation curves, in pieces. */
export function temperaturePlace(fluid: Fluid, temperature_K: number): number {
  const t = (temperature_K - fluid.table.lowestSaturation_K) * fluid.piecesPerKelvin;
  if (!(t >= -slack && t <= fluid.table.saturationPieces + slack)) {
    throw temperatureOutOfRange(fluid, temperature_K);
  }
  return t;
}

/**
 * Saturation temperature at a pressure, K: where vapour begins to condense (dew) or liquid to boil (bubble).
 *
 * Source: CoolProp 8.0.0 through the spline tables; error under 1 mK (each table states its own, `refrigerantFacts`).
 * Valid from -75 C (R744: -56 C) to 100 C or 4 K below critical.
 *
 * @param side required, because the wrong one costs several kelvin for a zeotropic blend.
 * @throws UnknownRefrigerantError, OutOfRangeError (`pressure_Pa`), ArgumentError (`side`).
 * @example saturationTemperature('R134a', 702820, 'dew') // 300.0
 */
export function saturationTemperature(
  refrigerant: string,
  pressure_Pa: number,
  side: SaturationSide,
): number {
  const fluid = fluidOf(refrigerant);
  const branch = branchOf(fluid, side);
  const t = (Math.log(pressure_Pa) - branch.logPressureLow) * branch.piecesPerLogPressure;
  if (!(t >= -slack && t <= fluid.table.saturationPieces + slack)) {
    throw pressureOutOfRange(fluid, side, pressure_Pa);
  }
  return pieceValue(curveOf(fluid, branch.temperature), t);
}

/**
 * Saturation pressure at a temperature, Pa. Source, range and errors as `saturationTemperature`.
 * @throws UnknownRefrigerantError, OutOfRangeError (`temperature_K`), ArgumentError (`side`).
 * @example saturationPressure('R134a', 300, 'dew') // 702.8e3
 */
export function saturationPressure(refrigerant: string, temperature_K: number, side: SaturationSide): number {
  const fluid = fluidOf(refrigerant);
  const branch = branchOf(fluid, side);
  return Math.exp(pieceValue(curveOf(fluid, branch.logPressure), temperaturePlace(fluid, temperature_K)));
}

/**
 * Slope of the saturation curve, K/Pa: how far the saturation temperature moves per pascal.
 * @throws as `saturationTemperature`.
 * @example saturationSlope_K_Pa('R134a', 349.9e3, 'dew') * 1e5 // 8.2 K per bar
 */
export function saturationSlope_K_Pa(refrigerant: string, pressure_Pa: number, side: SaturationSide): number {
  const fluid = fluidOf(refrigerant);
  const branch = branchOf(fluid, side);
  const t = (Math.log(pressure_Pa) - branch.logPressureLow) * branch.piecesPerLogPressure;
  if (!(t >= -slack && t <= fluid.table.saturationPieces + slack)) {
    throw pressureOutOfRange(fluid, side, pressure_Pa);
  }
  return (pieceSlope(curveOf(fluid, branch.temperature), t) * branch.piecesPerLogPressure) / pressure_Pa;
}

/** One side of one refrigerant, looked up once: for loops, and where the side must not be mixed up later. */
export interface SaturationCurve {
  refrigerant: string;
  side: SaturationSide;
  lowestPressure_Pa: number;
  highestPressure_Pa: number;
  /** Saturation temperature, K; NaN outside the table. */
  temperature: (pressure_Pa: number) => number;
}

/**
 * The saturation temperature of one side as a bound function that answers NaN (not an error) outside its range, for
 * long series in which single values may be missing or absurd.
 */
export function saturationCurve(refrigerant: string, side: SaturationSide): SaturationCurve {
  const fluid = fluidOf(refrigerant);
  const branch = branchOf(fluid, side);
  const { logPressureLow, piecesPerLogPressure } = branch;
  const temperature = curveOf(fluid, branch.temperature);
  const end = fluid.table.saturationPieces + slack;
  const [low, high] = side === 'dew' ? fluid.table.dewLogPressure : fluid.table.bubbleLogPressure;
  return {
    refrigerant: fluid.table.name,
    side,
    lowestPressure_Pa: Math.exp(low),
    highestPressure_Pa: Math.exp(high),
    temperature: (pressure_Pa) => {
      const t = (Math.log(pressure_Pa) - logPressureLow) * piecesPerLogPressure;
      return t >= -slack && t <= end ? pieceValue(temperature, t) : NaN;
    },
  };
}
