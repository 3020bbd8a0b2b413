import { celsiusToKelvin, fahrenheitToKelvin, psiToPascal } from '../units/index.js';

export type UnitKind = 'pressure' | 'temperature' | 'temperature-difference' | 'percent' | 'flow' | 'power';
export type Convert = (value: number) => number;

const times =
  (factor: number): Convert =>
  (value) =>
    value * factor;

/**
 * Units as headers write them, lower case, with no blanks (`mw` is megawatt: no compressor takes milliwatts). US gallon
 * a minute 6.30902e-5 m3/s and kgf/cm2 98,066.5 Pa: NIST SP 811, appendix B.
 */
export const writtenUnits: Record<UnitKind, Record<string, Convert>> = {
  pressure: {
    pa: times(1),
    hpa: times(100),
    kpa: times(1e3),
    mpa: times(1e6),
    mbar: times(100),
    bar: times(1e5),
    psi: psiToPascal,
    'kgf/cm2': times(98_066.5),
    'kg/cm2': times(98_066.5),
  },
  temperature: {
    k: times(1),
    c: celsiusToKelvin,
    degc: celsiusToKelvin,
    cel: celsiusToKelvin,
    celsius: celsiusToKelvin,
    f: fahrenheitToKelvin,
    degf: fahrenheitToKelvin,
    fahrenheit: fahrenheitToKelvin,
  },
  'temperature-difference': {
    k: times(1),
    c: times(1),
    degc: times(1),
    f: times(1 / 1.8),
    degf: times(1 / 1.8),
  },
  percent: { pct: times(1), percent: times(1), '%': times(1), '%open': times(1), share: times(100) },
  flow: {
    'm3/s': times(1),
    'm3/h': times(1 / 3600),
    'm3/hr': times(1 / 3600),
    'l/s': times(1e-3),
    lps: times(1e-3),
    'l/min': times(1e-3 / 60),
    lpm: times(1e-3 / 60),
    'l/h': times(1e-3 / 3600),
    gpm: times(6.30902e-5),
    usgpm: times(6.30902e-5),
  },
  power: { w: times(1), kw: times(1e3), mw: times(1e6), hp: times(745.7) },
};

/** `bar(g)`, `bar g`, `barg`, `psi gauge` -> bar, gauge; `psia`, `kPa abs` -> absolute. */
export function pressureUnit(unit: string): { unit: string; gauge: boolean } | null {
  const match = /^(pa|hpa|kpa|mpa|mbar|bar|psi|kgf?\/cm2)(?:\(?(g|gauge|ga|a|abs|absolute)\)?)?$/.exec(unit);
  return match ? { unit: match[1], gauge: /^g/.test(match[2] ?? '') } : null;
}
