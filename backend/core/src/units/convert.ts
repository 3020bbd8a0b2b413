/** Exact conversions between SI and the units that trade and telemetry use. NaN stays NaN. */

/** The ice point on the kelvin scale, K (exact by definition of the degree Celsius). */
export const icePoint_K = 273.15;

/** Pascal in one pound-force per square inch: 4.4482216152605 N over (0.0254 m)^2. */
export const pascalPerPsi = 4.4482216152605 / (0.0254 * 0.0254);

/** Joule per kilogram in one Btu (International Table) per pound: exactly 2326. */
export const joulePerKilogramPerBtuPerPound = 2326;

/** Kilogram per cubic metre in one pound per cubic foot: 0.45359237 kg over (0.3048 m)^3. */
export const kilogramPerCubicMetrePerPoundPerCubicFoot = 0.45359237 / 0.3048 ** 3;

/** Watt in one ton of refrigeration: 12000 Btu(IT) per hour. */
export const wattPerTonOfRefrigeration = (12000 * 1055.05585262) / 3600;

export const celsiusToKelvin = (temperature_C: number): number => temperature_C + icePoint_K;
export const kelvinToCelsius = (temperature_K: number): number => temperature_K - icePoint_K;
export const fahrenheitToKelvin = (temperature_F: number): number => (temperature_F - 32) / 1.8 + icePoint_K;
export const kelvinToFahrenheit = (temperature_K: number): number => (temperature_K - icePoint_K) * 1.8 + 32;

export const barToPascal = (pressure_bar: number): number => pressure_bar * 1e5;
export const pascalToBar = (pressure_Pa: number): number => pressure_Pa / 1e5;
export const psiToPascal = (pressure_psi: number): number => pressure_psi * pascalPerPsi;
export const pascalToPsi = (pressure_Pa: number): number => pressure_Pa / pascalPerPsi;
