import type { SensorError } from '../../diagnosis/finding.js';
import { saturationCurve, saturationPressure, saturationSlope_K_Pa } from '../../refrigerants/index.js';
import { OutOfRangeError } from '../../units/index.js';

/** Around the running pressure, within which an evaporator works. */
const range = [0.85, 1, 1.15] as const;
/** The curves of refrigerants far apart differ by more than one number says: no correction is better than that, K. */
const coarsest_K = 0.5;

/**
 * What another refrigerant does to the superheat computed with the registered one, as an error of suction pressure: less
 * this, the registered curve gives the saturation temperature of the refrigerant that is there. It changes a little with
 * pressure; half its range over root 3 is the uncertainty (JCGM 100:2008, 4.3.7). Undefined outside the tables, and where
 * that is more than half a kelvin.
 */
export function errorOfRefrigerant(
  registered: string,
  actual: string,
  suctionPressure_Pa: number,
): SensorError | undefined {
  const dew = saturationCurve(actual, 'dew').temperature;
  try {
    const errors = range.map((part) => {
      const pressure_Pa = part * suctionPressure_Pa;
      return pressure_Pa - saturationPressure(registered, dew(pressure_Pa), 'dew');
    });
    if (!errors.every(Number.isFinite)) return undefined;
    const uncertainty = Math.abs(errors[2] - errors[0]) / 2 / Math.sqrt(3);
    const slope_K_Pa = saturationSlope_K_Pa(registered, suctionPressure_Pa - errors[1], 'dew');
    return slope_K_Pa * uncertainty > coarsest_K ? undefined : { bias: errors[1], uncertainty };
  } catch (error) {
    if (error instanceof OutOfRangeError) return undefined;
    throw error;
  }
}
