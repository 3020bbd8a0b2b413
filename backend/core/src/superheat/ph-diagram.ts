import {
  hottestVapour_K,
  liquidEnthalpy,
  refrigerantFacts,
  saturationPressure,
  saturationTemperature,
  vapourEnthalpy,
} from '../refrigerants/index.js';
import { ArgumentError, OutOfRangeError } from '../units/index.js';

/** One place in the pressure-enthalpy plane. Enthalpy above saturated vapour (dew side) at 273.15 K. */
export interface PhPoint {
  enthalpy_J_kg: number;
  pressure_Pa: number;
}

export interface PhDome {
  /** Bubble line, rising pressure. */
  liquid: PhPoint[];
  /** Dew line, rising pressure. The lines stop 4 K below critical (or at 100 C), where the tables do; they are not joined. */
  vapour: PhPoint[];
}

/**
 * The two-phase dome for a pressure-enthalpy diagram, at evenly spaced temperatures over the whole table.
 * @throws UnknownRefrigerantError; ArgumentError for fewer than two points.
 */
export function phDome(refrigerant: string, points = 80): PhDome {
  if (!(Number.isInteger(points) && points >= 2))
    throw new ArgumentError('points', 'must be a whole number from 2');
  const { lowestSaturation_K, highestSaturation_K } = refrigerantFacts(refrigerant).range;
  const liquid: PhPoint[] = [];
  const vapour: PhPoint[] = [];
  for (let i = 0; i < points; i++) {
    const temperature_K =
      lowestSaturation_K + ((highestSaturation_K - lowestSaturation_K) * i) / (points - 1);
    const dew_Pa = saturationPressure(refrigerant, temperature_K, 'dew');
    liquid.push({
      enthalpy_J_kg: liquidEnthalpy(refrigerant, temperature_K),
      pressure_Pa: saturationPressure(refrigerant, temperature_K, 'bubble'),
    });
    vapour.push({ enthalpy_J_kg: vapourEnthalpy(refrigerant, dew_Pa, temperature_K), pressure_Pa: dew_Pa });
  }
  return { liquid, vapour };
}

export interface CycleInput {
  refrigerant: string;
  suctionPressure_Pa: number;
  suctionTemperature_K: number;
  dischargePressure_Pa: number;
  dischargeTemperature_K: number;
  liquidTemperature_K: number;
}

export interface CyclePoint extends PhPoint {
  place:
    | 'suction'
    | 'discharge'
    | 'condenser-dew'
    | 'condenser-bubble'
    | 'liquid'
    | 'evaporator-inlet'
    | 'evaporator-dew';
  temperature_K: number;
}

/** The cycle's corners in flow order, or the measured value that fits no such cycle. */
export type Cycle =
  | {
      drawable: true;
      points: CyclePoint[];
      /** Refrigerating effect per kilogram, J/kg. */
      refrigeratingEffect_J_kg: number;
      /** Enthalpy rise from suction to discharge, J/kg. */
      compression_J_kg: number;
    }
  | { drawable: false; argument: string; reason: 'missing' | 'wet' | 'out-of-range' };

/**
 * The refrigeration cycle that the measured values describe: suction, discharge, condenser dew and bubble point, liquid,
 * expansion at constant enthalpy, evaporator dew point. Liquid enthalpy is that of saturated liquid at the liquid
 * temperature; pressure losses count as none.
 *
 * A value that is missing, or that no such cycle can have (suction or discharge under the dew point, outside the
 * tables), is an explicit result, since sensors read such values.
 * @throws UnknownRefrigerantError.
 */
export function cyclePoints(input: CycleInput): Cycle {
  const { refrigerant, suctionPressure_Pa, dischargePressure_Pa, liquidTemperature_K } = input;
  const { range } = refrigerantFacts(refrigerant);
  for (const [argument, value] of Object.entries(input)) {
    if (argument !== 'refrigerant' && !Number.isFinite(value))
      return { drawable: false, argument, reason: 'missing' };
  }
  try {
    const dew = { low: 0, high: 0 };
    for (const [argument, pressure, key] of [
      ['suctionPressure_Pa', suctionPressure_Pa, 'low'],
      ['dischargePressure_Pa', dischargePressure_Pa, 'high'],
    ] as const) {
      try {
        dew[key] = saturationTemperature(refrigerant, pressure, 'dew');
        saturationTemperature(refrigerant, pressure, 'bubble');
      } catch (error) {
        if (error instanceof OutOfRangeError) return { drawable: false, argument, reason: 'out-of-range' };
        throw error;
      }
    }
    for (const [argument, pressure, temperature, dew_K] of [
      ['suctionTemperature_K', suctionPressure_Pa, input.suctionTemperature_K, dew.low],
      ['dischargeTemperature_K', dischargePressure_Pa, input.dischargeTemperature_K, dew.high],
    ] as const) {
      if (temperature < dew_K) return { drawable: false, argument, reason: 'wet' };
      if (temperature > hottestVapour_K(refrigerant, pressure)) {
        return { drawable: false, argument, reason: 'out-of-range' };
      }
    }
    const bubble_K = saturationTemperature(refrigerant, dischargePressure_Pa, 'bubble');
    if (liquidTemperature_K < range.lowestSaturation_K || liquidTemperature_K > range.highestSaturation_K) {
      return { drawable: false, argument: 'liquidTemperature_K', reason: 'out-of-range' };
    }
    if (liquidTemperature_K > bubble_K)
      return { drawable: false, argument: 'liquidTemperature_K', reason: 'wet' };
    return assemble(input, dew.low, dew.high, bubble_K);
  } catch (error) {
    if (error instanceof OutOfRangeError) {
      return { drawable: false, argument: error.argument, reason: 'out-of-range' };
    }
    throw error;
  }
}

function assemble(input: CycleInput, lowDew_K: number, highDew_K: number, bubble_K: number): Cycle {
  const { refrigerant, suctionPressure_Pa: low_Pa, dischargePressure_Pa: high_Pa } = input;
  const suction = vapourEnthalpy(refrigerant, low_Pa, input.suctionTemperature_K);
  const discharge = vapourEnthalpy(refrigerant, high_Pa, input.dischargeTemperature_K);
  const liquid = liquidEnthalpy(refrigerant, input.liquidTemperature_K);
  const place = (
    name: CyclePoint['place'],
    pressure_Pa: number,
    temperature_K: number,
    enthalpy_J_kg: number,
  ): CyclePoint => ({ place: name, pressure_Pa, temperature_K, enthalpy_J_kg });
  const lowBubble_K = saturationTemperature(refrigerant, low_Pa, 'bubble');
  return {
    drawable: true,
    points: [
      place('suction', low_Pa, input.suctionTemperature_K, suction),
      place('discharge', high_Pa, input.dischargeTemperature_K, discharge),
      place('condenser-dew', high_Pa, highDew_K, vapourEnthalpy(refrigerant, high_Pa, highDew_K)),
      place('condenser-bubble', high_Pa, bubble_K, liquidEnthalpy(refrigerant, bubble_K)),
      place('liquid', high_Pa, input.liquidTemperature_K, liquid),
      place('evaporator-inlet', low_Pa, inletTemperature(input, lowBubble_K, lowDew_K, liquid), liquid),
      place('evaporator-dew', low_Pa, lowDew_K, vapourEnthalpy(refrigerant, low_Pa, lowDew_K)),
    ],
    refrigeratingEffect_J_kg: suction - liquid,
    compression_J_kg: discharge - suction,
  };
}

/** Temperature behind the valve: between bubble and dew point in proportion to the vapour made, exact for single substances. */
function inletTemperature(input: CycleInput, bubble_K: number, dew_K: number, enthalpy_J_kg: number): number {
  const bubble = liquidEnthalpy(input.refrigerant, bubble_K);
  const dew = vapourEnthalpy(input.refrigerant, input.suctionPressure_Pa, dew_K);
  const quality = Math.min(1, Math.max(0, (enthalpy_J_kg - bubble) / (dew - bubble)));
  return bubble_K + quality * (dew_K - bubble_K);
}
