/**
 * Conversion of SI values to what a reader sees. Factors are exact by definition:
 * 1 in = 0.0254 m, 1 lb = 0.45359237 kg, g0 = 9.80665 m/s2 (NIST SP 811), so
 * 1 psi = 0.45359237 * 9.80665 / 0.0254^2 Pa; 1 ton of refrigeration = 12 000 Btu(IT)/h = 3516.852842 W.
 */
export type Measures = 'si' | 'inch-pound';

/** Pressures as a gauge shows them: over the pressure of the air around it. */
export interface GaugeSystem {
  measures: Measures;
  /** Pressure of the air at the site, Pa. */
  ambient_Pa: number;
}

/** What a reader's numbers are shown in; without more said, pressures are absolute. */
export type UnitSystem = Measures | GaugeSystem;

export const measuresOf = (system: UnitSystem): Measures =>
  typeof system === 'string' ? system : system.measures;

/** What gauges read from, Pa; null: pressures are absolute. */
export const ambientOf = (system: UnitSystem): number | null =>
  typeof system === 'string' ? null : system.ambient_Pa;

export const pascalPerPsi = (0.45359237 * 9.80665) / 0.0254 ** 2;
export const wattPerTon = (12_000 * 1055.05585262) / 3600;
export const kilogramPerPound = 0.45359237;
export const metrePerFoot = 0.3048;
export const metrePerMile = 5280 * metrePerFoot;
export const cubicMetrePerGallon = 231 * 0.0254 ** 3;
/** Water through a valve in US gal/min at 1 psi (Cv) where it is 1 m3/h at 1 bar (Kv): the flow goes with the root of the pressure. */
export const cvPerKv = Math.sqrt(pascalPerPsi / 1e5) / (60 * cubicMetrePerGallon);

/** A linear scale from SI to the shown unit, for chart axes as well as for text. */
export interface Scale {
  unit: string;
  convert(value: number): number;
}

export type ScaledKind =
  | 'temperature'
  | 'temperature-difference'
  | 'pressure'
  | 'pressure-difference'
  | 'enthalpy'
  | 'flow'
  | 'flow-coefficient';

const scales: Record<Exclude<ScaledKind, 'pressure'>, Record<Measures, Scale>> = {
  temperature: {
    si: { unit: '°C', convert: (kelvin) => kelvin - 273.15 },
    'inch-pound': { unit: '°F', convert: (kelvin) => (kelvin - 273.15) * 1.8 + 32 },
  },
  'temperature-difference': {
    si: { unit: 'K', convert: (kelvin) => kelvin },
    'inch-pound': { unit: '°F', convert: (kelvin) => kelvin * 1.8 },
  },
  'pressure-difference': {
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
  // Stored as Kv. Which of the two a number is stands in its unit.
  'flow-coefficient': {
    si: { unit: 'm³/h (Kv)', convert: (kv) => kv },
    'inch-pound': { unit: 'gal/min at 1 psi (Cv)', convert: (kv) => kv * cvPerKv },
  },
};

/** What a pressure is read from stands in its unit, gauge or absolute. */
const pressureUnits: Record<Measures, { absolute: string; gauge: string }> = {
  si: { absolute: 'bar abs', gauge: 'bar g' },
  'inch-pound': { absolute: 'psia', gauge: 'psig' },
};

export function scaleOf(kind: ScaledKind, system: UnitSystem): Scale {
  const measures = measuresOf(system);
  if (kind !== 'pressure') return scales[kind][measures];
  const ambient_Pa = ambientOf(system);
  const { convert } = scales['pressure-difference'][measures];
  return {
    unit: pressureUnits[measures][ambient_Pa === null ? 'absolute' : 'gauge'],
    convert: (pascal) => convert(pascal - (ambient_Pa ?? 0)),
  };
}
