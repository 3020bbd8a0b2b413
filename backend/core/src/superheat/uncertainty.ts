import { saturationSlope_K_Pa } from '../refrigerants/index.js';
import { ArgumentError } from '../units/index.js';

/** Half-widths of the makers' tolerances, as the registry has them per sensor. */
export interface MeasurementTolerances {
  pressureTolerance_Pa: number;
  temperatureTolerance_K: number;
}

/**
 * Standard uncertainty of a value known only to lie within +-`halfWidth`, each place equally likely: a / sqrt(3)
 * (JCGM 100:2008, GUM, 4.3.7).
 */
export const rectangularUncertainty = (halfWidth: number): number => halfWidth / Math.sqrt(3);

function combined(slope_K_Pa: number, tolerances: MeasurementTolerances): number {
  const { pressureTolerance_Pa, temperatureTolerance_K } = tolerances;
  for (const [name, value] of Object.entries({ pressureTolerance_Pa, temperatureTolerance_K })) {
    if (!(value >= 0)) throw new ArgumentError(name, `must be zero or more, not ${value}`);
  }
  return Math.hypot(
    slope_K_Pa * rectangularUncertainty(pressureTolerance_Pa),
    rectangularUncertainty(temperatureTolerance_K),
  );
}

/**
 * Standard uncertainty of one superheat, K: u^2 = (dT_dew/dp u_p)^2 + u_T^2 (GUM 5.1.2, both inputs independent; the
 * temperature itself does not enter, since superheat is linear in it). The tables' own error is a thousandth of this.
 *
 * @throws UnknownRefrigerantError, OutOfRangeError (`pressure_Pa`), ArgumentError (a tolerance).
 * @example superheatUncertainty('R134a', 349.9e3, 284.15, { pressureTolerance_Pa: 8e3, temperatureTolerance_K: 0.5 })
 * // sqrt((8.2 x 0.08)^2 + 0.5^2) / sqrt(3) = 0.48
 */
export const superheatUncertainty = (
  refrigerant: string,
  suctionPressure_Pa: number,
  _suctionTemperature_K: number,
  tolerances: MeasurementTolerances,
): number => combined(saturationSlope_K_Pa(refrigerant, suctionPressure_Pa, 'dew'), tolerances);

/** Standard uncertainty of one subcooling, K; as `superheatUncertainty` on the bubble side. */
export const subcoolingUncertainty = (
  refrigerant: string,
  pressure_Pa: number,
  tolerances: MeasurementTolerances,
): number => combined(saturationSlope_K_Pa(refrigerant, pressure_Pa, 'bubble'), tolerances);
