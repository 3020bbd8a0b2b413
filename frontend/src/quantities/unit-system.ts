/**
 * Conversion of SI values to what a reader sees. Factors are exact by definition:
 * 1 in = 0.0254 m, 1 lb = 0.45359237 kg, g0 = 9.80665 m/s2 (NIST SP 811), so
 * 1 psi = 0.45359237 * 9.80665 / 0.0254^2 Pa; 1 ton of refrigeration = 12 000 Btu(IT)/h = 3516.852842 W.
 */
export type UnitSystem = 'si' | 'inch-pound';

export const pascalPerPsi = (0.45359237 * 9.80665) / 0.0254 ** 2;
export const wattPerTon = (12_000 * 1055.05585262) / 3600;
export const kilogramPerPound = 0.45359237;
export const cubicMetrePerGallon = 231 * 0.0254 ** 3;

/** A linear scale from SI to the shown unit, for chart axes as well as for text. */
export interface Scale {
  unit: string;
  convert(value: number): number;
}

export type ScaledKind = 'temperature' | 'temperature-difference' | 'pressure' | 'enthalpy' | 'flow';

const scales: Record<ScaledKind, Record<UnitSystem, Scale>> = {
  temperature: {
    si: { unit: '°C', convert: (kelvin) => kelvin - 273.15 },
    'inch-pound': { unit: '°F', convert: (kelvin) => (kelvin - 273.15) * 1.8 + 32 },
  },
  'temperature-difference': {
    si: { unit: 'K', convert: (kelvin) => kelvin },
    'inch-pound': { unit: '°F', convert: (kelvin) => kelvin * 1.8 },
  },
  pressure: {
    si: { unit: 'bar', convert: (pascal) => pascal / 1e5 },
    'inch-pound': { unit: 'psi', convert: (pascal) => pascal / pascalPerPsi },
  },
  enthalpy: {
    si: { unit: 'kJ/kg', convert: (joule) => joule / 1000 },
    // 1 Btu(IT)/lb = 2326 J/kg exactly.
    'inch-pound': { unit: 'Btu/lb', convert: (joule) => joule / 2326 },
  },
  flow: {
    si: { unit: 'm³/h', convert: (flow) => flow * 3600 },
    'inch-pound': { unit: 'gal/min', convert: (flow) => (flow * 60) / cubicMetrePerGallon },
  },
};

export function scaleOf(kind: ScaledKind, system: UnitSystem): Scale {
  return scales[kind][system];
}
