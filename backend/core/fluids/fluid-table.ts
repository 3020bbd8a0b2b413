/** Largest errors of a table against its source, measured at points off its nodes. */
export interface TableErrors {
  /** Saturation temperature from pressure, either side, K. */
  temperature_K: number;
  /** Saturation pressure from temperature, either side, relative. */
  pressure_relative: number;
  liquidEnthalpy_J_kg: number;
  liquidDensity_relative: number;
  vapourEnthalpy_J_kg: number;
  vapourDensity_relative: number;
  vapourEntropy_J_kgK: number;
}

/**
 * One refrigerant's properties as uniform cubic B-splines, made by `make-tables.py`.
 *
 * `curves` is base64 of little-endian doubles, in this order: saturation temperature over ln p (dew, bubble); ln p over
 * temperature (dew, bubble); saturated-liquid enthalpy and density over temperature. `surfaces` is base64 of
 * little-endian single-precision numbers: vapour enthalpy, p/rho and entropy over
 * (ln p, ln(1 + superheat / superheatScale_K)). A spline of n pieces has n + 3 coefficients.
 */
export interface FluidTable {
  name: string;
  source: string;
  composition: readonly { component: string; massFraction: number }[];
  lowestSaturation_K: number;
  highestSaturation_K: number;
  /** Above this temperature a component's equation of state is not stated valid. */
  hottestVapour_K: number;
  criticalTemperature_K: number;
  largestSuperheat_K: number;
  superheatScale_K: number;
  saturationPieces: number;
  pressurePieces: number;
  superheatPieces: number;
  dewLogPressure: readonly [number, number];
  bubbleLogPressure: readonly [number, number];
  /** Over the whole table. */
  largestError: TableErrors;
  /** From -40 C to +70 C (or 6 K below critical) and 0 to 40 K of superheat. */
  largestWorkingError: TableErrors;
  curves: string;
  surfaces: string;
}
