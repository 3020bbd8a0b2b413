import { OutOfRangeError } from './errors.js';

/** Pressure of the standard atmosphere at sea level, Pa. */
export const standardAtmosphere_Pa = 101325;

/**
 * Pressure of the ICAO standard atmosphere at a height, Pa; what a gauge transducer vented to air adds to.
 *
 * p = 101325 (1 - 0.0065 h / 288.15)^(g / (R 0.0065)), with g = 9.80665 m/s2 and R = 287.05287 J/(kg K)
 * (ICAO Doc 7488, the same as ISO 2533 and the U.S. Standard Atmosphere 1976 below 11 km; h is geopotential, which
 * differs from geometric height by 0.05 % at 3 km). Weather moves the true pressure by about +-3 kPa around it.
 *
 * @param altitude_m -1000 to 11000 m.
 * @throws OutOfRangeError outside that range.
 * @example standardAtmospherePressure_Pa(1000) // 89875
 */
export function standardAtmospherePressure_Pa(altitude_m: number): number {
  if (!(altitude_m >= -1000 && altitude_m <= 11000)) {
    throw new OutOfRangeError('altitude_m', altitude_m, -1000, 11000);
  }
  return standardAtmosphere_Pa * (1 - (0.0065 * altitude_m) / 288.15) ** (9.80665 / (287.05287 * 0.0065));
}

/** Absolute pressure from a gauge reading at a height above sea level, Pa. */
export const absoluteFromGauge_Pa = (gauge_Pa: number, altitude_m: number): number =>
  gauge_Pa + standardAtmospherePressure_Pa(altitude_m);
