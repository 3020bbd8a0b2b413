import { clockOf_ms, clockWords, type Zone } from './site-time.js';
import {
  kilogramPerPound,
  measuresOf,
  metrePerFoot,
  metrePerMile,
  scaleOf,
  wattPerTon,
  type Measures,
  type UnitSystem,
} from './unit-system.js';

export interface Quantity {
  value: number;
  kind: string;
  uncertainty?: number;
}

/** Rounds to `digits` decimals with a true minus sign and thin grouping; never shows "-0". */
export function decimals(value: number, digits: number): string {
  const rounded = Number(value.toFixed(digits));
  const [whole, ...fraction] = Math.abs(rounded).toFixed(digits).split('.');
  const grouped = whole.length < 5 ? whole : whole.replace(/\B(?=(\d{3})+$)/g, '\u202f');
  const text = [grouped, ...fraction].join('.');
  return rounded < 0 ? `−${text}` : text;
}

/** Decimals that leave about `figures` significant figures, between 0 and 4. */
export function digitsFor(value: number, figures: number): number {
  // Rounded first, so that 99.99 counts as 100.
  const size = Number(Math.abs(value).toPrecision(figures));
  if (size === 0 || !Number.isFinite(size)) return 0;
  return Math.max(0, Math.min(4, figures - 1 - Math.floor(Math.log10(size))));
}

const figures = (value: number, count: number) => decimals(value, digitsFor(value, count));

/** Counts and rates of thousands, such as reversals in a week, are not known to the last one. */
const countFigures = 3;

/**
 * A count or a rate as precise as it is known: whole from ten on, to one decimal below, and to three figures from a
 * thousand on (10 459 as `10 500`).
 */
export function roundCount(value: number): string {
  if (Math.abs(value) >= 1000) return decimals(Number(value.toPrecision(countFigures)), 0);
  return Math.abs(value) >= 10 || Number.isInteger(value) ? decimals(value, 0) : decimals(value, 1);
}

/** A span of time as a person says it: `40 s`, `3 min 20 s`, `8 min`, `5.5 h`, `12 days`. */
export function formatDuration(seconds: number): string {
  const size = Math.abs(seconds);
  if (size < 1) return `${figures(seconds, 2)} s`;
  if (size < 10) return `${decimals(seconds, 1)} s`;
  if (size < 120) return `${decimals(seconds, 0)} s`;
  if (size < 600) {
    // No cycle or stretch of minutes is known to the second.
    const whole = Math.round(size / 10) * 10;
    const rest = whole % 60;
    return rest === 0 ? `${whole / 60} min` : `${Math.floor(whole / 60)} min ${rest} s`;
  }
  if (size < 5400) return `${decimals(seconds / 60, 0)} min`;
  if (size < 36 * 3600) return `${decimals(seconds / 3600, 1).replace(/\.0$/, '')} h`;
  if (size < 90 * 86_400) return plural(seconds / 86_400, 'day', size < 10 * 86_400 ? 1 : 0);
  if (size < 2 * 365.25 * 86_400) return plural(seconds / (30.4375 * 86_400), 'month', 0);
  return plural(seconds / (365.25 * 86_400), 'year', 1);
}

function plural(value: number, word: string, digits: number): string {
  const text = decimals(value, digits).replace(/\.0$/, '');
  return `${text} ${word}${text === '1' ? '' : 's'}`;
}

/** Date and time by the clock of the zone; the year instead of the time where it is not this one. */
export function formatInstant(epochSeconds: number, zone: Zone = null, now = new Date()): string {
  const clock = clockOf_ms(epochSeconds * 1000, zone);
  const thisYear = new Date(clock).getUTCFullYear() === now.getUTCFullYear();
  return clockWords(clock, thisYear ? 'minute' : 'day');
}

export function formatDay(epochSeconds: number, zone: Zone = null): string {
  return clockWords(clockOf_ms(epochSeconds * 1000, zone), 'day');
}

interface Shown {
  /** The number in the shown unit, as text, and the same for its uncertainty. */
  number: string;
  spread?: string;
  unit: string;
}

function withSpread(value: number, uncertainty: number | undefined, digits: number, unit: string): Shown {
  return {
    number: decimals(value, digits),
    spread: uncertainty === undefined ? undefined : decimals(uncertainty, digits),
    unit,
  };
}

function siPrefixed(value: number, uncertainty: number | undefined, unit: string, wanted = 3): Shown {
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
  const scaled = value * factor;
  return withSpread(
    scaled,
    uncertainty === undefined ? undefined : uncertainty * factor,
    digitsFor(scaled, wanted),
    `${prefix}${unit}`,
  );
}

function distance(value: number, measures: Measures): Shown {
  const [length, unit] = measures === 'si' ? [value / 1000, 'km'] : [value / metrePerMile, 'mi'];
  return withSpread(length, undefined, length < 9.95 ? 1 : 0, unit);
}

function height(value: number, measures: Measures): Shown {
  const [length, unit] = measures === 'si' ? [value, 'm'] : [value / metrePerFoot, 'ft'];
  return withSpread(length, undefined, 0, unit);
}

/** A mass that could have passed is not known to less than this, kg. */
const smallestMass_kg = { si: 0.001, 'inch-pound': (0.1 / 16) * kilogramPerPound };

function mass(value: number, uncertainty: number | undefined, measures: Measures): Shown {
  const spread = (factor: number) => (uncertainty === undefined ? undefined : uncertainty * factor);
  if (uncertainty === undefined && Math.abs(value) < smallestMass_kg[measures])
    return measures === 'si' ? { number: 'under 1', unit: 'g' } : { number: 'under 0.1', unit: 'oz' };
  if (measures === 'si')
    return Math.abs(value) < 1
      ? withSpread(value * 1000, spread(1000), digitsFor(value * 1000, 2), 'g')
      : withSpread(value, uncertainty, digitsFor(value, 2), 'kg');
  return Math.abs(value) < kilogramPerPound
    ? withSpread((value / kilogramPerPound) * 16, spread(16 / kilogramPerPound), 1, 'oz')
    : withSpread(
        value / kilogramPerPound,
        spread(1 / kilogramPerPound),
        digitsFor(value / kilogramPerPound, 2),
        'lb',
      );
}

function flowCoefficient(value: number, uncertainty: number | undefined, measures: Measures): Shown {
  const { unit, convert } = scaleOf('flow-coefficient', measures);
  const reach = uncertainty === undefined ? undefined : convert(uncertainty);
  return withSpread(convert(value), reach, digitsFor(convert(value), 3), unit);
}

function shown({ kind, value, uncertainty }: Quantity, system: UnitSystem): Shown {
  const spread = (factor: number) => (uncertainty === undefined ? undefined : uncertainty * factor);
  const measures = measuresOf(system);
  switch (kind) {
    case 'temperature': {
      const scale = scaleOf('temperature', system);
      return withSpread(scale.convert(value), spread(measures === 'si' ? 1 : 1.8), 1, scale.unit);
    }
    case 'temperature-difference': {
      const scale = scaleOf(kind, system);
      const converted = scale.convert(value);
      const reach = spread(measures === 'si' ? 1 : 1.8);
      // A small difference such as a drift has two decimals, but no more of them than its uncertainty leaves.
      const size = Math.max(Math.abs(converted), reach ?? 0);
      return withSpread(converted, reach, size >= 0.005 && size < 0.1 ? 2 : 1, scale.unit);
    }
    case 'pressure':
    case 'pressure-difference': {
      const scale = scaleOf(kind, system);
      const difference = scaleOf('pressure-difference', system);
      return withSpread(
        scale.convert(value),
        uncertainty && difference.convert(uncertainty),
        measures === 'si' ? 2 : 1,
        scale.unit,
      );
    }
    case 'share': {
      // What is not all is not called all, nor what is not nothing nothing.
      if (uncertainty === undefined && value > 0.995 && value < 1) return { number: 'over 99', unit: '%' };
      if (uncertainty === undefined && value > 0 && value < 0.0005) return { number: 'under 0.1', unit: '%' };
      return withSpread(value * 100, spread(100), Math.abs(value) < 0.1 && value !== 0 ? 1 : 0, '%');
    }
    case 'percent-opening':
      return withSpread(value, uncertainty, Math.abs(value) < 10 && value !== 0 ? 1 : 0, '%');
    case 'energy':
      return Math.abs(value) >= 3.6e6
        ? withSpread(value / 3.6e6, spread(1 / 3.6e6), digitsFor(value / 3.6e6, 3), 'kWh')
        : siPrefixed(value, uncertainty, 'J');
    case 'power':
      return siPrefixed(value, uncertainty, 'W');
    case 'cooling-capacity':
      return measures === 'si'
        ? siPrefixed(value, uncertainty, 'W')
        : withSpread(value / wattPerTon, spread(1 / wattPerTon), digitsFor(value / wattPerTon, 3), 'tons');
    case 'mass':
      return mass(value, uncertainty, measures);
    case 'flow-coefficient':
      return flowCoefficient(value, uncertainty, measures);
    case 'distance':
    case 'height':
      return (kind === 'distance' ? distance : height)(value, measures);
    case 'voltage':
      return withSpread(value, uncertainty, Math.abs(value) < 10 ? 2 : 1, 'V');
    case 'capacitance':
      return siPrefixed(value, uncertainty, 'F');
    case 'resistance':
      return siPrefixed(value, uncertainty, 'Ω');
    case 'current':
      return siPrefixed(value, uncertainty, 'A');
    case 'rate-per-day':
    case 'count':
      return {
        number: roundCount(value),
        spread: uncertainty === undefined ? undefined : roundCount(uncertainty),
        unit: '',
      };
    default:
      return withSpread(value, uncertainty, Math.max(2, digitsFor(value, 2)), '');
  }
}

/**
 * One quantity as text in the reader's units, e.g. `6.0 K` or `10.8 °F`, with `±` where an uncertainty is known.
 */
export function formatQuantity(
  quantity: Quantity,
  system: UnitSystem,
  zone: Zone = null,
  now?: Date,
): string {
  if (quantity.kind === 'duration') return formatDuration(quantity.value);
  if (quantity.kind === 'instant') return formatInstant(quantity.value, zone, now);
  const { number, spread, unit } = shown(quantity, system);
  // An uncertainty that rounds to nothing would claim more than is known.
  const withUncertainty = spread !== undefined && Number(spread) !== 0 ? `${number} ± ${spread}` : number;
  return unit === '' ? withUncertainty : `${withUncertainty} ${unit}`;
}

/** So many of something, e.g. `1 circuit`, `3 circuits` or `20 000 circuits`. */
export const count = (number: number, one: string, many = `${one}s`): string =>
  `${decimals(number, 0)} ${number === 1 ? one : many}`;

/** A short way to show a number that may be missing. */
export function show(
  value: number | null | undefined,
  kind: string,
  system: UnitSystem,
  missing = '–',
): string {
  return value === null || value === undefined || !Number.isFinite(value)
    ? missing
    : formatQuantity({ value, kind }, system);
}
