import { describe, expect, it } from 'vitest';
import { quantityWords, statementWords } from './quantity-words.js';

// Conversions: NIST SP 811 (2008), appendix B: 1 psi = 6.894757 kPa, 1 lb = 0.45359237 kg, t/°F = 1.8 t/°C + 32.
describe('a quantity in a message', () => {
  const say = (kind: string, value: number, measures: 'si' | 'inch-pound' = 'si') =>
    quantityWords({ kind, value } as never, measures, 'Europe/Lisbon');

  it('is in the units of its reader', () => {
    expect(say('temperature', 280.15)).toBe('7.0 °C');
    expect(say('temperature', 280.15, 'inch-pound')).toBe('44.6 °F');
    expect(say('temperature-difference', 5)).toBe('5.0 K');
    expect(say('temperature-difference', 5, 'inch-pound')).toBe('9.0 °F');
    expect(say('pressure', 689_475.7, 'inch-pound')).toBe('100.0 psia');
    expect(say('pressure', 350_000)).toBe('3.50 bar absolute');
    expect(say('mass', 0.45359237, 'inch-pound')).toBe('1.0 lb');
  });

  it('has no more figures than are known', () => {
    expect(say('duration', 95)).toBe('95 s');
    expect(say('duration', 1200)).toBe('20 min');
    expect(say('duration', 5 * 86_400)).toBe('5.0 days');
    expect(say('share', 0.137)).toBe('14 %');
    expect(say('count', 10_459)).toBe('10500');
    expect(say('energy', 7.2e6)).toBe('2.00 kWh');
    expect(say('resistance', 0.1)).toBe('100 mΩ');
    expect(say('temperature-difference', -1)).toBe('-1.0 K');
  });

  it('names a day by the clock of the site', () => {
    const midnight_s = Date.UTC(2026, 6, 3, 23, 30) / 1000;
    expect(quantityWords({ kind: 'instant', value: midnight_s }, 'si', 'Europe/Lisbon')).toBe('Sat 4 Jul');
    expect(quantityWords({ kind: 'instant', value: midnight_s }, 'si', 'UTC')).toBe('Fri 3 Jul');
  });

  it('stands in its sentence, and where it is missing that is said', () => {
    const text = 'Superheat swings by {amplitude} every {period}.';
    const amplitude = { kind: 'temperature-difference' as const, value: 3 };
    const period = { kind: 'duration' as const, value: 240 };
    expect(statementWords({ text, quantities: { amplitude, period } }, 'si', 'UTC')).toBe(
      'Superheat swings by 3.0 K every 4 min.',
    );
    expect(statementWords({ text, quantities: { period } }, 'si', 'UTC')).toContain('(not known)');
  });
});
