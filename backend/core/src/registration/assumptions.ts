import { saturationPressure } from '../refrigerants/index.js';
import { celsiusToKelvin, OutOfRangeError, standardAtmosphere_Pa } from '../units/index.js';
import type { PressureReference } from './draft.js';

/** Upper ends of transducers that are commonly sold, bar (common practice, no source). */
export const commonSpans_bar = [7, 10, 12, 16, 18, 25, 30, 35, 45, 50, 60, 100, 160] as const;

/** Warmest that a standing circuit, and that a running condenser, is taken to become, K. Common practice, no source. */
export const standing_K = celsiusToKelvin(40);
export const condensing_K = celsiusToKelvin(65);

/** Tolerance of a transducer, as a fraction of its span. Common practice, no source. */
export const pressureTolerance = 0.01;

/**
 * Tolerance of a resistance thermometer of class B by IEC 60751, K: 0.30 + 0.005 |t|, t in degrees Celsius.
 * @example classB_K(80) // 0.7
 */
export const classB_K = (temperature_C: number): number => 0.3 + 0.005 * Math.abs(temperature_C);

/** Temperatures at which the three sensors of a circuit usually work, degrees Celsius, and their spans, K. Common practice, no source. */
export const temperatureSensors = {
  suction: { minimum: 223.15, maximum: 373.15, tolerance: classB_K(10) },
  discharge: { minimum: 233.15, maximum: 423.15, tolerance: classB_K(80) },
  liquid: { minimum: 233.15, maximum: 373.15, tolerance: classB_K(40) },
} as const;

/** Steps of a full stroke, and steps a second, of a valve of which neither is known. Common practice, no source. */
export const assumedStroke = { fullStroke_steps: 2500, rate_steps_s: 300 } as const;

/** Superheat under which liquid may reach the compressor, and what is kept above the steady floor, K. The project's own choice. */
export const superheatLimits = { floodbackLimit_K: 2, safetyMargin_K: 1 } as const;

/** Rated voltage of one supercapacitor cell, V; time constant of a new one, s; overdrive of a closing, %. Common practice, no source. */
export const assumedModule = { cell_V: 2.7, timeConstant_s: 1, overdrive_pct: 10 } as const;

export const lowestPressure_Pa = (reference: PressureReference): number => (reference === 'gauge' ? -1e5 : 0);

/**
 * The smallest common span that holds a refrigerant's saturation pressure, in the transducer's own reference, Pa. Over
 * the critical point, or outside the property table, the largest.
 * @example spanHolding('R134a', standing_K, 'gauge') // 10.17 bar absolute are 9.2 bar gauge: 10e5
 */
export function spanHolding(
  refrigerant: string,
  temperature_K: number,
  reference: PressureReference,
): number {
  const largest = commonSpans_bar[commonSpans_bar.length - 1] * 1e5;
  let needed_Pa: number;
  try {
    needed_Pa = saturationPressure(refrigerant, temperature_K, 'bubble');
  } catch (error) {
    if (error instanceof OutOfRangeError) return largest;
    throw error;
  }
  const read_Pa = needed_Pa - (reference === 'gauge' ? standardAtmosphere_Pa : 0);
  return (commonSpans_bar.find((span) => span * 1e5 >= read_Pa) ?? largest / 1e5) * 1e5;
}
