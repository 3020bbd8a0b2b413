import { saturationTemperature } from '../refrigerants/index.js';

/**
 * Saturation temperatures of a column of pressures, K; NaN where the pressure is missing or lies where the
 * refrigerant has no saturation (or outside its property table). The refrigerant must be known.
 */
export function saturationColumn(
  refrigerant: string,
  pressure_Pa: Float64Array,
  side: 'dew' | 'bubble',
): Float64Array {
  const result = new Float64Array(pressure_Pa.length).fill(NaN);
  let lastPressure = NaN;
  let last = NaN;
  for (let i = 0; i < pressure_Pa.length; i++) {
    const pressure = pressure_Pa[i];
    if (Number.isNaN(pressure)) continue;
    // Transducers are read in steps: neighbours are often equal.
    if (pressure !== lastPressure) {
      lastPressure = pressure;
      last = saturationOrNaN(refrigerant, pressure, side);
    }
    result[i] = last;
  }
  return result;
}

function saturationOrNaN(refrigerant: string, pressure_Pa: number, side: 'dew' | 'bubble'): number {
  try {
    return saturationTemperature(refrigerant, pressure_Pa, side);
  } catch (error) {
    if (error instanceof RangeError) return NaN;
    throw error;
  }
}
