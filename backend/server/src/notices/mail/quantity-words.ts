import type { Quantity, Statement } from '@coldrounds/core';
import { kelvinToCelsius, kelvinToFahrenheit, pascalToBar, pascalToPsi } from '@coldrounds/core/units';
import type { Measures } from '../wish.js';

const poundPerKilogram = 2.2046226218;
/** Cv, US gal/min at 1 psi, of a Kv of 1 m3/h at 1 bar (IEC 60534-1: Kv = 0.865 Cv). */
const cvPerKv = 1.156;

/** About three figures, and never more decimals than that leaves. */
function figures(value: number, count = 3): string {
  const size = Number(Math.abs(value).toPrecision(count));
  const digits = size === 0 ? 0 : Math.max(0, Math.min(3, count - 1 - Math.floor(Math.log10(size))));
  const text = Number(value.toPrecision(count)).toFixed(digits);
  return text.replace('-', '−');
}

function durationWords(seconds: number): string {
  const size = Math.abs(seconds);
  if (size < 120) return `${figures(seconds, 2)} s`;
  if (size < 5400) return `${Math.round(seconds / 60)} min`;
  if (size < 36 * 3600) return `${figures(seconds / 3600, 2)} h`;
  if (size < 90 * 86_400) return `${figures(seconds / 86_400, 2)} days`;
  return `${figures(seconds / (30.4375 * 86_400), 2)} months`;
}

const prefixed = (value: number, unit: string): string => {
  const size = Math.abs(value);
  const [factor, prefix] =
    size >= 1e6
      ? [1e-6, 'M']
      : size >= 1e3
        ? [1e-3, 'k']
        : size >= 1 || size === 0
          ? [1, '']
          : size >= 1e-3
            ? [1e3, 'm']
            : [1e6, 'µ'];
  return `${figures(value * factor)} ${prefix}${unit}`;
};

/** A quantity in words of a message: three figures at most, and no uncertainty, which the pages have. */
export function quantityWords({ kind, value }: Quantity, measures: Measures, timeZone: string): string {
  const si = measures === 'si';
  switch (kind) {
    case 'temperature':
      return si ? `${kelvinToCelsius(value).toFixed(1)} °C` : `${kelvinToFahrenheit(value).toFixed(1)} °F`;
    case 'temperature-difference':
      return si ? `${value.toFixed(1)} K` : `${(value * 1.8).toFixed(1)} °F`;
    case 'pressure':
      return si ? `${pascalToBar(value).toFixed(2)} bar absolute` : `${pascalToPsi(value).toFixed(1)} psia`;
    case 'pressure-difference':
      return si ? `${pascalToBar(value).toFixed(2)} bar` : `${pascalToPsi(value).toFixed(1)} psi`;
    case 'duration':
      return durationWords(value);
    case 'instant':
      return dayWords(new Date(value * 1000), timeZone);
    case 'share':
      return `${figures(value * 100, 2)} %`;
    case 'percent-opening':
      return `${figures(value, 2)} %`;
    case 'mass':
      return si ? `${figures(value, 2)} kg` : `${figures(value * poundPerKilogram, 2)} lb`;
    case 'energy':
      return Math.abs(value) >= 3.6e6 ? `${figures(value / 3.6e6)} kWh` : prefixed(value, 'J');
    case 'power':
      return prefixed(value, 'W');
    case 'voltage':
      return prefixed(value, 'V');
    case 'capacitance':
      return prefixed(value, 'F');
    case 'resistance':
      return prefixed(value, 'Ω');
    case 'current':
      return prefixed(value, 'A');
    case 'flow-coefficient':
      return si ? `${figures(value)} m³/h (Kv)` : `${figures(value * cvPerKv)} gal/min at 1 psi (Cv)`;
    case 'ratio':
      return figures(value, 2);
    case 'count':
    case 'rate-per-day':
      return figures(value);
    default:
      return figures(value);
  }
}

/** A statement as one sentence. */
export const statementWords = (
  { text, quantities }: Statement,
  measures: Measures,
  timeZone: string,
): string =>
  text.replace(/\{([a-zA-Z0-9]+)\}/g, (_, name: string) =>
    quantities[name] === undefined ? '(not known)' : quantityWords(quantities[name], measures, timeZone),
  );

/** A day by the clock of a time zone, e.g. `Sat 28 Nov`. */
export const dayWords = (at: Date, timeZone: string): string =>
  new Intl.DateTimeFormat('en-GB', { timeZone, weekday: 'short', day: 'numeric', month: 'short' })
    .format(at)
    .replace(',', '');
