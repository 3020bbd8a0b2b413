import { describe, expect, it } from 'vitest';
import { formatDuration, formatQuantity } from './format-quantity.js';
import { statementText } from './statement-text.js';
import { pascalPerPsi, scaleOf, wattPerTon, type UnitSystem } from './unit-system.js';

// PUBLISHED: NIST Special Publication 811 (2008), appendix B: 1 psi = 6.894757 E+03 Pa; 1 ton of refrigeration
// (12 000 Btu_IT/h) = 3.516853 E+03 W; 1 bar = 14.5038 psi follows from the first.
describe('a distance', () => {
  // NIST SP 811: 1 mi = 1.609344 km exactly.
  it('is in kilometres or miles, to a tenth under ten of them', () => {
    const text = (value: number, system: 'si' | 'inch-pound') =>
      formatQuantity({ value, kind: 'distance' }, system);
    expect(text(4230, 'si')).toBe('4.2 km');
    expect(text(42_300, 'si')).toBe('42 km');
    expect(text(16_093.44, 'inch-pound')).toBe('10 mi');
    expect(text(8046.72, 'inch-pound')).toBe('5.0 mi');
  });
});

describe('a height', () => {
  // NIST SP 811: 1 ft = 0.3048 m exactly.
  it('is in metres or feet', () => {
    expect(formatQuantity({ value: 152.4, kind: 'height' }, 'si')).toBe('152 m');
    expect(formatQuantity({ value: 152.4, kind: 'height' }, 'inch-pound')).toBe('500 ft');
  });
});

describe('conversion factors', () => {
  it('agree with the published tables', () => {
    expect(pascalPerPsi).toBeCloseTo(6894.757, 3);
    expect(wattPerTon).toBeCloseTo(3516.853, 3);
    expect(scaleOf('pressure', 'inch-pound').convert(1e5)).toBeCloseTo(14.5038, 4);
  });
  it('place the fixed points of water where both scales have them', () => {
    expect(scaleOf('temperature', 'inch-pound').convert(273.15)).toBeCloseTo(32, 9);
    expect(scaleOf('temperature', 'inch-pound').convert(373.15)).toBeCloseTo(212, 9);
    expect(scaleOf('temperature-difference', 'inch-pound').convert(1)).toBe(1.8);
  });
  it('take a Kv of 0.865 for a Cv of 1 (IEC 60534-1: Kv = 0.865 Cv)', () => {
    expect(scaleOf('flow-coefficient', 'inch-pound').convert(0.865)).toBeCloseTo(1, 3);
    expect(scaleOf('flow-coefficient', 'inch-pound').convert(1)).toBeCloseTo(1.156, 3);
    const kv = { kind: 'flow-coefficient', value: 2.5, uncertainty: 0.1 };
    expect(formatQuantity(kv, 'si')).toBe('2.50 ± 0.10 m³/h (Kv)');
    expect(formatQuantity(kv, 'inch-pound')).toBe('2.89 ± 0.12 gal/min at 1 psi (Cv)');
  });
  it('take one US gallon a minute as 6.30902e-5 m3/s', () => {
    expect(scaleOf('flow', 'inch-pound').convert(6.30902e-5)).toBeCloseTo(1, 5);
  });
});

describe('a quantity as text', () => {
  it('reads in SI and in inch-pound', () => {
    expect(formatQuantity({ kind: 'temperature-difference', value: 6 }, 'si')).toBe('6.0 K');
    expect(formatQuantity({ kind: 'temperature-difference', value: 6 }, 'inch-pound')).toBe('10.8 °F');
    expect(formatQuantity({ kind: 'temperature', value: 280.15 }, 'si')).toBe('7.0 °C');
    expect(formatQuantity({ kind: 'temperature', value: 280.15 }, 'inch-pound')).toBe('44.6 °F');
    expect(formatQuantity({ kind: 'pressure', value: 1e5 }, 'si')).toBe('1.00 bar abs');
    expect(formatQuantity({ kind: 'pressure', value: 1e5 }, 'inch-pound')).toBe('14.5 psia');
    expect(formatQuantity({ kind: 'pressure-difference', value: 15_000 }, 'inch-pound')).toBe('2.2 psi');
    expect(formatQuantity({ kind: 'mass', value: 0.45359237 }, 'inch-pound')).toBe('1.0 lb');
    expect(formatQuantity({ kind: 'cooling-capacity', value: 351_685 }, 'inch-pound')).toBe('100 tons');
  });
  it('reads pressures as a gauge does over the air of the site, and says so', () => {
    // By definition: the standard atmosphere is 101 325 Pa.
    const seaLevel = (measures: 'si' | 'inch-pound') => ({ measures, ambient_Pa: 101_325 });
    const pressure = (value: number, system: UnitSystem) =>
      formatQuantity({ kind: 'pressure', value }, system);
    expect(pressure(501_325, seaLevel('si'))).toBe('4.00 bar g');
    expect(pressure(101_325 + 689_475.7, seaLevel('inch-pound'))).toBe('100.0 psig');
    // Half a bar of vacuum.
    expect(pressure(51_325, seaLevel('si'))).toBe('−0.50 bar g');
    expect(formatQuantity({ kind: 'pressure', value: 501_325, uncertainty: 1e4 }, seaLevel('si'))).toBe(
      '4.00 ± 0.10 bar g',
    );
    // A difference has no zero to count from.
    expect(formatQuantity({ kind: 'pressure-difference', value: 1e5 }, seaLevel('si'))).toBe('1.00 bar');
    expect(formatQuantity({ kind: 'temperature', value: 273.15 }, seaLevel('inch-pound'))).toBe('32.0 °F');
  });
  it('carries its uncertainty in the same unit', () => {
    expect(formatQuantity({ kind: 'temperature-difference', value: 5, uncertainty: 0.5 }, 'si')).toBe(
      '5.0 ± 0.5 K',
    );
    expect(formatQuantity({ kind: 'temperature-difference', value: 5, uncertainty: 0.5 }, 'inch-pound')).toBe(
      '9.0 ± 0.9 °F',
    );
    expect(formatQuantity({ kind: 'pressure', value: 5e5, uncertainty: 1e4 }, 'si')).toBe(
      '5.00 ± 0.10 bar abs',
    );
  });
  it('has no more decimals than its uncertainty leaves', () => {
    const kind = 'temperature-difference';
    expect(formatQuantity({ kind, value: 0.01, uncertainty: 0.3 }, 'si')).toBe('0.0 ± 0.3 K');
    expect(formatQuantity({ kind, value: 0.04, uncertainty: 0.02 }, 'si')).toBe('0.04 ± 0.02 K');
    expect(formatQuantity({ kind, value: 0.04 }, 'si')).toBe('0.04 K');
  });
  it('uses the prefix that reads best', () => {
    expect(formatQuantity({ kind: 'resistance', value: 0.0213 }, 'si')).toBe('21.3 mΩ');
    expect(formatQuantity({ kind: 'current', value: 0.0042 }, 'si')).toBe('4.20 mA');
    expect(formatQuantity({ kind: 'power', value: 352_000 }, 'si')).toBe('352 kW');
    expect(formatQuantity({ kind: 'energy', value: 7.2e6 }, 'si')).toBe('2.00 kWh');
    expect(formatQuantity({ kind: 'share', value: 0.056 }, 'si')).toBe('5.6 %');
  });
  // Common practice, no source: figures as precise as they are known.
  it('rounds counts and rates of thousands to three figures', () => {
    const shown = (kind: string, value: number) => formatQuantity({ kind, value }, 'si');
    expect(shown('count', 10_459)).toBe('10\u202f500');
    expect(shown('count', 3_412)).toBe('3410');
    expect(shown('rate-per-day', 1494.1)).toBe('1490');
    expect(shown('rate-per-day', 748.3)).toBe('748');
    expect(shown('rate-per-day', 3.24)).toBe('3.2');
    expect(shown('count', 84)).toBe('84');
  });
  it('calls nothing all that is not all, and nothing none that is not none', () => {
    const shown = (value: number) => formatQuantity({ kind: 'share', value }, 'si');
    expect([shown(1), shown(0.9994), shown(0.994)]).toEqual(['100 %', 'over 99 %', '99 %']);
    expect([shown(0), shown(0.0002), shown(0.002)]).toEqual(['0 %', 'under 0.1 %', '0.2 %']);
  });
  it('gives a mass that is next to nothing as a bound', () => {
    expect(formatQuantity({ kind: 'mass', value: 0.0002 }, 'si')).toBe('under 1 g');
    expect(formatQuantity({ kind: 'mass', value: 0.0002 }, 'inch-pound')).toBe('under 0.1 oz');
    expect(formatQuantity({ kind: 'mass', value: 0.0042 }, 'si')).toBe('4.2 g');
  });
  it('has a true minus and no minus zero', () => {
    expect(formatQuantity({ kind: 'temperature', value: 268.15 }, 'si')).toBe('−5.0 °C');
    expect(formatQuantity({ kind: 'temperature', value: 273.14 }, 'si')).toBe('0.0 °C');
  });
});

describe('a span of time', () => {
  it('is said as a person says it', () => {
    expect(formatDuration(40)).toBe('40 s');
    expect(formatDuration(200)).toBe('3 min 20 s');
    expect(formatDuration(481)).toBe('8 min');
    expect(formatDuration(598)).toBe('10 min');
    expect(formatDuration(1800)).toBe('30 min');
    expect(formatDuration(7200)).toBe('2 h');
    expect(formatDuration(86_400 * 12)).toBe('12 days');
    expect(formatDuration(86_400 * 2)).toBe('2 days');
    expect(formatDuration(86_400 * 365.25 * 3)).toBe('3 years');
  });
});

describe('a statement', () => {
  const swing = {
    text: 'Superheat swings by {amplitude} every {period}.',
    quantities: {
      amplitude: { kind: 'temperature-difference', value: 3 },
      period: { kind: 'duration', value: 150 },
    },
  };
  it('is one sentence in both unit systems', () => {
    expect(statementText(swing, 'si')).toBe('Superheat swings by 3.0 K every 2 min 30 s.');
    expect(statementText(swing, 'inch-pound')).toBe('Superheat swings by 5.4 °F every 2 min 30 s.');
  });
  it('says so where a number is missing', () => {
    expect(statementText({ text: 'It held {a}.', quantities: {} }, 'si')).toBe('It held (not known).');
  });
});
